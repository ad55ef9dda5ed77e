import { tableWords } from "../yard/tableWords.ts";
import { questions, type AnswersRead } from "../yard/questions.ts";
import { byId } from "./elements.ts";

/**
 * Words beside the fields: what cannot be read, what is asked back, units and hints of the place, and the parts of the hole that are asked.
 *
 * @param answers  as they were typed
 * @param meant    told the key of what was asked back and confirmed
 */
export function showWords(
  { problems, waiting, asks, units, draft }: AnswersRead, answers: Readonly<Record<string, string>>, meant: (key: string) => void,
): void {
  document.querySelectorAll<HTMLElement>("[data-say]").forEach((place) => {
    const key = place.dataset["say"]!;
    const problem = problems[key] ?? waiting[key];
    const ask = asks[key];
    const text = problem ?? ask ?? "";
    if (place.firstChild?.textContent === text && text !== "") return;
    place.replaceChildren(...(text === "" ? [] : [document.createTextNode(text)]));
    if (ask === undefined || problem !== undefined) return;
    const yes = document.createElement("button");
    yes.type = "button";
    yes.textContent = "Yes";
    yes.addEventListener("click", () => meant(key));
    place.append(" ", yes);
  });
  byId("rain-said").textContent = draft["rainfall"] === undefined ? "" : tableWords(draft["rainfall"], units);
  const known = (answers["region"] ?? "") !== "";
  document.querySelectorAll<HTMLElement>("[data-unit]").forEach((place) => {
    const key = place.dataset["unit"]!;
    const unit =
      key === "along"
        ? units === "us"
          ? "ft"
          : "m"
        : key === "hole"
          ? units === "us"
            ? "in"
            : "cm"
          : (questions.find((each) => each.key === key)?.unit?.(units) ?? "");
    place.textContent = known ? unit.replace("^2", "²") : "";
  });
  document.querySelectorAll<HTMLElement>("[data-hint]").forEach((place) => {
    place.textContent = questions.find(({ key }) => key === place.dataset["hint"])?.hint(units) ?? "";
  });
  byId("units").textContent = !known
    ? "Feet and inches, or metres: the country decides."
    : units === "us"
      ? "This page takes feet and inches here (6' 4½\", 12.5 ft, 1,600 sf); another unit is read where it is typed, and asked back."
      : "This page takes metres here (12,5 or 12.5; 85 cm); another unit is read where it is typed, and asked back.";
  const isTest = /^test/.test(answers["soil"] ?? "");
  const isInch = /min|mpi/i.test(answers["soil"] ?? "");
  byId("hole").hidden = !isTest && !isInch;
  byId("hole-water").hidden = !isInch;
  for (const id of ["fills", "add-reading", "add-fill"]) byId(id).hidden = isInch;
}
