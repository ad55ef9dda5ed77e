import type { Judge } from "./judge.ts";
import type { SiteFile } from "./siteFile.ts";

/** Catchments that drain to a body of the site. */
export function checkCatchments({ catchments, settlingBoxes, lowSpot }: SiteFile, judge: Judge): void {
  const names = settlingBoxes.map(({ name }) => name);
  const targets = [...names, "chamberBank", ...(lowSpot === null ? [] : ["lowSpot"])];
  // A box whose name could not be read may be the one that is meant.
  if (names.length === 0 || names.includes("")) return;
  catchments.forEach(({ drainsTo }, index) => {
    const known = drainsTo === null ? names.length === 1 : drainsTo === "" || targets.includes(drainsTo);
    if (known) return;
    const where = `catchments[${index}].drainsTo`;
    const listed = targets.map((target) => JSON.stringify(target)).join(", ");
    judge.refuse(where, `one of ${listed}`, drainsTo === null ? "nothing" : judge.given(where));
  });
}
