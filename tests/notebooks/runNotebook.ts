import { fork } from "node:child_process";
import { once } from "node:events";
import { fileURLToPath } from "node:url";

/** What a notebook did from top to bottom. */
export interface NotebookRun {
  /** exit status; null where it was stopped */
  readonly status: number | null;
  readonly stdout: string;
  readonly stderr: string;
  /** what cells showed: the cell's number from 1 and the text by its media type */
  readonly displays: readonly { readonly cell: number; readonly data: Readonly<Record<string, string>> }[];
}

const child = fileURLToPath(new URL("notebookProcess.cjs", import.meta.url));
/** Three times what a notebook may take, so that one that hangs ends with its own output rather than the test's time-out. */
const patience_ms = 60_000;

/** Runs a notebook by the kernel's own compiler and executor in a process of its own: no Jupyter, no Python. */
export async function runNotebook(path: string): Promise<NotebookRun> {
  const process = fork(child, [path], { stdio: ["ignore", "pipe", "pipe", "ipc"], timeout: patience_ms, execArgv: [] });
  let stdout = "";
  let stderr = "";
  const displays: NotebookRun["displays"][number][] = [];
  process.stdout!.setEncoding("utf8").on("data", (text: string) => (stdout += text));
  process.stderr!.setEncoding("utf8").on("data", (text: string) => (stderr += text));
  process.on("message", (display) => displays.push(display as NotebookRun["displays"][number]));
  // the channel of the displays may end after the process
  const [[status]] = (await Promise.all([once(process, "close"), once(process, "disconnect")])) as [[number | null], []];
  return { status, stdout, stderr, displays };
}
