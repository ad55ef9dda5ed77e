/** What a system calls the faults of a file, in words for the `got` side of an error. */
const FAULTS: Readonly<Record<string, string>> = {
  ENOENT: "nothing of that name",
  EISDIR: "a directory",
  ENOTDIR: "a path that runs through a file",
  EEXIST: "a path that runs through a file",
  EACCES: "one that may not be opened",
  EPERM: "one that may not be opened",
  ENOSPC: "a full disk",
  EROFS: "a disk that cannot be written",
  ENAMETOOLONG: "a name that is too long",
};

/**
 * What is wrong with a file that could not be read or written.
 *
 * @param error  as Node threw it
 * @example fileFault(Object.assign(new Error("open"), { code: "EISDIR" })); // => "a directory"
 */
export function fileFault(error: unknown): string {
  const code = error instanceof Error && "code" in error ? String(error.code) : "";
  return FAULTS[code] ?? (error instanceof Error ? error.message : String(error));
}
