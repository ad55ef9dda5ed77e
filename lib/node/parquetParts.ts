import { closeSync, fsyncSync, openSync, readdirSync, renameSync, rmSync, writeSync } from "node:fs";
import { join } from "node:path";
import { ByteWriter, ParquetWriter, schemaFromColumnData } from "./parquetWriter.ts";
import { fileCode, fileFault, makeFolder } from "./fileFault.ts";
import { UserFault } from "./userFault.ts";

/** A column of rows: numbers, or texts. */
export interface PartColumn {
  readonly name: string;
  readonly type: "DOUBLE" | "INT32" | "STRING";
}

/** A cell: null is nothing, and so is NaN, which no row of a study means as a number. */
export type PartCell = number | string | null;

/** Rows that go into numbered files. */
export interface PartWriter {
  /** one list a column, all of one length */
  add(columns: readonly ArrayLike<PartCell>[]): void;
  /** writes what is left; parts of an earlier, longer result go away */
  finish(): number;
}

/** Rows in a file, and in a group of a file, which is what is in memory at a time. */
const PART_ROWS = 1_000_000;
const GROUP_ROWS = 50_000;

/**
 * Writes rows as Parquet (the open column format of the Apache project) into `part-00000.parquet`, `part-00001.parquet` … of a folder, so
 * many rows a part: which row lies where follows from its number alone, and what is held in memory does not grow with them.
 *
 * @throws UserFault  when the folder cannot be written
 */
export function parquetParts(
  folder: string,
  columns: readonly PartColumn[],
  { partRows = PART_ROWS }: { readonly partRows?: number } = {},
): PartWriter {
  const held: PartCell[][] = columns.map(() => []);
  const groupRows = Math.min(GROUP_ROWS, partRows);
  let part = 0;
  let inPart = 0;
  let open: OpenPart | null = null;
  inWords(folder, () => {
    makeFolder(folder);
  });
  return {
    add(cells) {
      inWords(folder, () => {
        for (let row = 0; row < (cells[0]?.length ?? 0); row++) {
          columns.forEach(({ type }, c) => {
            held[c]!.push(cellOf(cells[c]![row]!, type));
          });
          if (held[0]!.length === groupRows || inPart + held[0]!.length === partRows) flush();
        }
      });
    },
    finish() {
      return inWords(folder, () => {
        flush();
        // no rows at all are a part without any
        if (part === 0 && open === null) open = openPart(folder, part, columns);
        close();
        for (const file of readdirSync(folder)) if (isPart(file) && Number(file.slice(5, 10)) >= part) rmSync(join(folder, file));
        return part;
      });
    },
  };

  function flush(): void {
    if (held[0]!.length === 0) return;
    open ??= openPart(folder, part, columns);
    open.group(held);
    inPart += held[0]!.length;
    for (const each of held) each.length = 0;
    if (inPart === partRows) close();
  }

  function close(): void {
    if (open === null) return;
    open.close();
    open = null;
    inPart = 0;
    part++;
  }
}

function isPart(file: string): boolean {
  return /^part-\d{5}\.parquet$/.test(file);
}

interface OpenPart {
  group(cells: readonly (readonly PartCell[])[]): void;
  close(): void;
}

/** Beside its place first, as all files are. */
function openPart(folder: string, part: number, columns: readonly PartColumn[]): OpenPart {
  const path = join(folder, `part-${String(part).padStart(5, "0")}.parquet`);
  const file = openSync(`${path}.part`, "w");
  const bytes = new FileWriter(file);
  const columnData = (
    cells: readonly (readonly PartCell[])[],
  ): { name: string; type: PartColumn["type"]; nullable: true; data: PartCell[] }[] =>
    columns.map(({ name, type }, c) => ({ name, type, nullable: true as const, data: [...(cells[c] ?? [])] }));
  const writer = new ParquetWriter({ writer: bytes, schema: schemaFromColumnData({ columnData: columnData([]) }) });
  return {
    group(cells) {
      // a writer that writes at once gives no promise
      void writer.write({ columnData: columnData(cells), rowGroupSize: cells[0]!.length });
      bytes.flush();
    },
    close() {
      void writer.finish();
      fsyncSync(file);
      closeSync(file);
      renameSync(`${path}.part`, path);
    },
  };
}

/** Writes into a file what the library writes into memory. */
class FileWriter extends ByteWriter {
  readonly #file: number;

  constructor(file: number) {
    super();
    this.#file = file;
  }

  flush(): void {
    const bytes = new Uint8Array(this.buffer, 0, this.index);
    for (let done = 0; done < bytes.length;) done += writeSync(this.#file, bytes, done);
    // `offset` counts what was written in all and stays
    this.index = 0;
  }

  override finish(): void {
    this.flush();
  }
}

function cellOf(cell: PartCell, type: PartColumn["type"]): PartCell {
  if (cell === null || (typeof cell === "number" && Number.isNaN(cell))) return null;
  return type === "STRING" ? String(cell) : cell;
}

function inWords<Result>(path: string, work: () => Result): Result {
  try {
    return work();
  } catch (error) {
    if (error instanceof UserFault || !(error instanceof Error && "code" in error)) throw error;
    throw new UserFault(`${path}: expected a place for rows, got ${fileFault(error)}`, fileCode(error));
  }
}
