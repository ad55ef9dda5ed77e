import { existsSync, readdirSync, statSync } from "node:fs";
import { basename, join } from "node:path";
import type * as Duckdb from "@duckdb/node-api";
import { peer } from "./peer.ts";
import { UserFault } from "./userFault.ts";

/** An answer of a question about rows, block by block: memory does not grow with it. */
export interface RowAnswer {
  readonly columns: readonly string[];
  /** lists of rows, each one value a column: numbers, texts, true or false, null; bigint beyond what a number holds */
  readonly blocks: AsyncIterable<readonly (readonly unknown[])[]>;
}

/** Rows that can be asked about. */
export interface RowQuery {
  /** names of tables there are, each with what it is */
  readonly tables: readonly { readonly name: string; readonly from: string }[];
  /**
   * @throws UserFault  with what is wrong with the question
   */
  ask(sql: string): Promise<RowAnswer>;
  close(): void;
}

/** What the questions may hold in memory; the database writes what is more to disk. */
const MEMORY = "256MB";

/**
 * Opens the rows that lie in a folder for questions in SQL. Each folder `<name>.parquet` and each study's file `<name>.csv` in it is a
 * table of that name, with `_` for what a name in SQL cannot hold; `lots` and `rows` are the results a lot and the runs of all tables of
 * lots, with the table they are from in `source`.
 *
 *   const rows = await rowQuery("out");
 *   const { blocks } = await rows.ask("select decides, count(*) from lots group by decides");
 *   for await (const block of blocks) console.log(block);
 *   rows.close();
 *
 * @throws UserFault  when @duckdb/node-api is not installed, or there are no rows in the folder
 */
export async function rowQuery(folder: string, { memory = MEMORY }: { readonly memory?: string } = {}): Promise<RowQuery> {
  const { DuckDBInstance } = peer("@duckdb/node-api", "rows") as typeof Duckdb;
  const found = tablesIn(folder);
  if (found.length === 0)
    throw new UserFault(`rows: expected rows of studies in ${folder}, such as those of "soakstep lots", got none`, "missing");
  // nothing is fetched for a question, whatever it asks
  const instance = await DuckDBInstance.create(":memory:", {
    memory_limit: memory,
    autoinstall_known_extensions: "false",
    autoload_known_extensions: "false",
    preserve_insertion_order: "true",
  });
  const database = await instance.connect();
  const tables = [...found, ...unions(found)];
  for (const { name, select } of tables) await database.run(`create view "${name}" as ${select}`);
  return {
    tables: tables.map(({ name, from }) => ({ name, from })),
    async ask(sql) {
      try {
        const answer = await database.stream(sql);
        return {
          columns: answer.deduplicatedColumnNames(),
          blocks: answer.yieldRowsJs() as AsyncIterable<readonly (readonly unknown[])[]>,
        };
      } catch (error) {
        const names = tables.map(({ name }) => name).join(", ");
        throw new UserFault(`rows: expected a question in SQL about ${names}, got ${(error as Error).message.split("\n")[0]!}`, "syntax");
      }
    },
    close() {
      database.closeSync();
      instance.closeSync();
    },
  };
}

interface Table {
  readonly name: string;
  /** what it is made of, for a reader */
  readonly from: string;
  readonly select: string;
  readonly kind: "lots" | "rows" | null;
}

function tablesIn(folder: string): Table[] {
  if (!existsSync(folder)) return [];
  const files = readdirSync(folder).sort();
  const folders = files.filter(
    (file) =>
      file.endsWith(".parquet") &&
      statSync(join(folder, file)).isDirectory() &&
      readdirSync(join(folder, file)).some((each) => /^part-\d{5}\.parquet$/.test(each)),
  );
  const parquet = folders.map((file): Table => ({
    name: nameOf(file),
    from: join(folder, file),
    kind: /[-.]lots\.parquet$/.test(file) ? "lots" : /[-.]rows\.parquet$/.test(file) ? "rows" : null,
    select: `select * from read_parquet(${text(join(folder, file, "part-*.parquet"))})`,
  }));
  // only what a study wrote: its fingerprint lies beside it
  const csv = files
    .filter(
      (file) =>
        file.endsWith(".csv") && existsSync(join(folder, `${file}.study`)) && !folders.some((each) => nameOf(each) === nameOf(file)),
    )
    .map((file): Table => ({
      name: nameOf(file),
      from: join(folder, file),
      kind: null,
      select: `select * exclude ("check") from read_csv(${text(join(folder, file))}, header = true, sample_size = -1, all_varchar = false)`,
    }));
  return [...parquet, ...csv];
}

/** All tables of one kind as one. */
function unions(found: readonly Table[]): Table[] {
  return (["lots", "rows"] as const).flatMap((kind): Table[] => {
    const its = found.filter((table) => table.kind === kind);
    if (its.length === 0 || found.some(({ name }) => name === kind)) return [];
    return [
      {
        name: kind,
        kind: null,
        from: its.map(({ from }) => from).join(", "),
        select: its.map(({ name }) => `select ${text(name)} as source, * from "${name}"`).join(" union all by name "),
      },
    ];
  });
}

function nameOf(file: string): string {
  return basename(file)
    .replace(/\.(?:parquet|csv)$/, "")
    .replaceAll(/\W/g, "_");
}

function text(value: string): string {
  return `'${value.replaceAll("'", "''")}'`;
}
