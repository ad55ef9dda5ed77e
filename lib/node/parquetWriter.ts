// What the build packs of the library that writes Parquet into this package.
export { ByteWriter, ParquetWriter, schemaFromColumnData } from "hyparquet-writer";
