import { dirname } from "node:path";
import { fileURLToPath } from "node:url";
import ts from "typescript";

const root = fileURLToPath(new URL("../../", import.meta.url));

/** A notebook as far as the tests read it. */
export interface Notebook {
  readonly cells: readonly { readonly cell_type: string; readonly source: readonly string[] }[];
}

/**
 * What the project's own strict compiler says about the code cells of a notebook, read as one module that stands where
 * the notebook stands. The kernel's compiler is older and its settings are loose; it alone would miss much.
 *
 * @returns  one line a fault: `cell 3, line 2: message`
 */
export function cellFaults(path: string, { cells }: Notebook): string[] {
  const file = path.replace(/\.ipynb$/, ".cells.mts");
  const lines: { readonly cell: number; readonly line: number; readonly text: string }[] = [];
  for (const [i, { cell_type, source }] of cells.entries()) {
    if (cell_type !== "code") continue;
    for (const [j, text] of source.join("").split("\n").entries()) lines.push({ cell: i + 1, line: j + 1, text });
  }
  const text = [...lines.map((line) => line.text), "export {};"].join("\n");
  return diagnostics(file, text).map(({ start, messageText }) => {
    const at = start === undefined ? undefined : lines[text.slice(0, start).split("\n").length - 1];
    const message = ts.flattenDiagnosticMessageText(messageText, "\n").replace(/\n\s*/g, " ");
    return at ? `cell ${at.cell}, line ${at.line}: ${message}` : message;
  });
}

/** The file is given to the compiler from memory: nothing is written beside the notebook. */
function diagnostics(file: string, text: string): readonly ts.Diagnostic[] {
  const options: ts.CompilerOptions = {
    ...projectOptions(),
    noEmit: true,
    declaration: false,
    isolatedDeclarations: false,
    rootDir: dirname(file),
    typeRoots: [`${root}node_modules/@types`],
  };
  const disk = ts.createCompilerHost(options);
  const host: ts.CompilerHost = {
    ...disk,
    fileExists: (name) => name === file || disk.fileExists(name),
    readFile: (name) => (name === file ? text : disk.readFile(name)),
    getSourceFile: (name, version) =>
      name === file ? ts.createSourceFile(name, text, version) : disk.getSourceFile(name, version),
  };
  return ts.getPreEmitDiagnostics(ts.createProgram([file], options, host));
}

function projectOptions(): ts.CompilerOptions {
  const { config } = ts.readConfigFile(`${root}tsconfig.json`, (name) => ts.sys.readFile(name)) as { config: unknown };
  return ts.parseJsonConfigFileContent(config, ts.sys, root).options;
}
