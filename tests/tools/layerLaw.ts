import ts from "typescript";
import { builtinModules } from "node:module";
import { posix } from "node:path";

/** Folders of lib from the bottom up; a folder on one line with another is its sibling. */
export const layers: readonly (readonly string[])[] = [
  ["text", "numerics", "plane"],
  ["rain", "ground", "schema"],
  ["runoff", "works"],
  ["site"],
  ["plan", "simulate"],
  ["study"],
  ["dips", "upkeep"],
  ["figures"],
  ["report"],
  ["yard", "node"],
  ["command", "live", "newPage"],
];

/** Where code may use what only Node has: a path in lib that starts so. */
const nodeOnly = ["node.ts", "node/", "command/"];

/** What each file of lib imports by its path there, such as `rain/hyetograph.ts`. */
export type Imports = ReadonlyMap<string, readonly Import[]>;

/** @param sources  text of each file by its path in lib */
export function importsIn(sources: ReadonlyMap<string, string>): Imports {
  return new Map([...sources].map(([file, text]) => [file, importsOf(file, text)]));
}

/**
 * Every breach of the layer law, one line each, as `file: what it does`. What a file imports as types alone is gone
 * when the code runs: such files may lie in a ring, but a reader meets them, so that they lie in the same room or below it.
 */
export function layerBreaches(named: Imports): string[] {
  const breaches: string[] = [];
  const imports = new Map([...named].map(([file, targets]) => [file, targets.filter(({ isType }) => !isType).map(({ target }) => target)]));
  for (const [file, targets] of named) {
    if (file.includes("/") && height(file) === null) breaches.push(`${file}: its folder is on no layer`);
    for (const { target, isType } of targets) {
      const breach = target.startsWith(".") ? breachInside(file, target, named) : isType ? null : breachOutside(file, target);
      if (breach !== null) breaches.push(`${file}: ${breach}`);
    }
  }
  breaches.push(...cycles(imports));
  for (const door of ["index.ts", "hydrology.ts"]) breaches.push(...nodeBehind(door, imports));
  return breaches;
}

/** Lists, each of whose entries is a file that one looks for by its name: doors, commands, papers, storms, sections of the site file. */
const lists = [
  "index.ts", "hydrology.ts", "node.ts", "figures/figures.ts", "command/command.ts", "command/runSheets.ts", "rain/storms/designStorm.ts", "site/siteFile.ts",
];

/** Files on no list that exactly one other file imports, the private parts of one neighbour; but for the kernel's compiled bytes. */
export function privateParts(imports: Imports): string[] {
  const importers = new Map<string, Set<string>>();
  for (const [file, targets] of imports) {
    for (const { target } of targets) {
      if (!target.startsWith(".")) continue;
      const imported = resolve(file, target);
      importers.set(imported, (importers.get(imported) ?? new Set()).add(file));
    }
  }
  return [...importers].filter(([file, from]) => !/kernel(Bytes|Script)\.ts$/.test(file) && from.size === 1 && !lists.includes([...from][0]!))
    .map(([file]) => file).sort();
}

export interface Import {
  /** a path or the name of a package, as written */
  readonly target: string;
  /** whether it is gone when the code runs */
  readonly isType: boolean;
}

/** What a file imports or re-exports, `import()` among them. */
function importsOf(file: string, text: string): Import[] {
  const found: Import[] = [];
  const visit = (node: ts.Node): void => {
    if (ts.isImportDeclaration(node)) {
      found.push({ target: literal(node.moduleSpecifier), isType: node.importClause?.phaseModifier === ts.SyntaxKind.TypeKeyword });
    } else if (ts.isExportDeclaration(node) && node.moduleSpecifier) {
      found.push({ target: literal(node.moduleSpecifier), isType: node.isTypeOnly });
    } else if (ts.isCallExpression(node) && node.expression.kind === ts.SyntaxKind.ImportKeyword) {
      found.push({ target: literal(node.arguments[0]), isType: false });
    } else if (ts.isImportTypeNode(node)) {
      found.push({ target: literal(ts.isLiteralTypeNode(node.argument) ? node.argument.literal : undefined), isType: true });
    }
    if (isDeep) ts.forEachChild(node, visit);
  };
  // imports that are no statements are calls, or types named where they are used
  const isDeep = /\bimport\s*\(/.test(text);
  // what follows the last line that could end a statement of import need not be parsed
  const last = [...text.matchAll(/\b(?:from|import)\s*["'].*/g)].at(-1);
  const read = isDeep ? text : text.slice(0, last === undefined ? 0 : last.index + last[0].length);
  ts.forEachChild(ts.createSourceFile(file, read, ts.ScriptTarget.ES2022), visit);
  return found;
}

function literal(node: ts.Node | undefined): string {
  return node && ts.isStringLiteralLike(node) ? node.text : "an import computed at run time";
}

function breachInside(file: string, target: string, sources: Imports): string | null {
  const imported = resolve(file, target);
  if (!sources.has(imported)) return `imports ${target}, which is not a file of lib`;
  if (!file.includes("/")) return null; // index.ts and node.ts stand above all layers
  if (!imported.includes("/")) return `imports ${imported}, which stands above all layers`;
  const other = room(imported);
  if (room(file) === other) return null;
  const [own, below] = [height(file), height(imported)];
  if (own === null || below === null || below < own) return null;
  return below > own ? `imports upward from ${other}` : `imports from its sibling ${other}`;
}

function breachOutside(file: string, target: string): string | null {
  if (!isNode(target) || nodeOnly.some((start) => file.startsWith(start))) return null;
  return `imports ${target} from Node`;
}

function isNode(target: string): boolean {
  return target.startsWith("node:") || builtinModules.includes(target);
}

/** The folder of lib a file lies in; folders inside it are of the same room. */
function room(file: string): string {
  return file.split("/")[0]!;
}

function height(file: string): number | null {
  const found = layers.findIndex((layer) => layer.includes(room(file)));
  return found < 0 ? null : found;
}

function resolve(file: string, target: string): string {
  return posix.join(posix.dirname(file), target);
}

/** Each ring of files that import one another, once, from its first file by name. */
function cycles(imports: ReadonlyMap<string, readonly string[]>): string[] {
  const found = new Set<string>();
  const done = new Set<string>();
  const path: string[] = [];
  const visit = (file: string): void => {
    const start = path.indexOf(file);
    if (start >= 0) {
      const ring = path.slice(start);
      const first = ring.indexOf([...ring].sort()[0]!);
      found.add([...ring.slice(first), ...ring.slice(0, first), ring[first]].join(" -> "));
      return;
    }
    if (done.has(file)) return;
    path.push(file);
    for (const target of imports.get(file) ?? []) if (target.startsWith(".")) visit(resolve(file, target));
    path.pop();
    done.add(file);
  };
  for (const file of imports.keys()) visit(file);
  return [...found].map((ring) => `${ring.split(" -> ")[0]}: is in a cycle ${ring}`);
}

/** Node behind a door that browsers may take: a file that may use Node, reached from it. */
function nodeBehind(door: string, imports: ReadonlyMap<string, readonly string[]>): string[] {
  const reached = new Set<string>();
  const open = [door];
  for (let file = open.pop(); file !== undefined; file = open.pop()) {
    if (reached.has(file)) continue;
    reached.add(file);
    for (const target of imports.get(file) ?? []) if (target.startsWith(".")) open.push(resolve(file, target));
  }
  return [...reached]
    .filter((file) => nodeOnly.some((start) => file.startsWith(start)))
    .map((file) => `${door}: reaches ${file}, which may use Node`);
}
