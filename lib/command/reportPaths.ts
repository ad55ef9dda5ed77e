import { basename, join } from "node:path";

/** As `reportPath`, made different where two files have one name, capitals aside. */
export function reportPaths(paths: readonly string[], folder: string): string[] {
  const taken = new Set<string>();
  return paths.map((path) => {
    let report = reportPath(path, folder);
    for (let n = 2; taken.has(report.toLowerCase()); n++) report = reportPath(path, folder, `-${n}`);
    taken.add(report.toLowerCase());
    return report;
  });
}

/** <folder>/<name of the site file>.html */
export function reportPath(path: string, folder: string, suffix: string = ""): string {
  const stem = basename(path).replace(/\.json$/i, "") || "site";
  return join(folder, `${stem}${suffix}.html`);
}
