import { fieldId } from "../yard/fieldId.ts";
import type { FirstAnswers } from "../yard/firstAnswers.ts";
import { byId, made } from "./elements.ts";

/** The six answers as one screen, under it what each further fact would sharpen, each a way to its field, and what stands behind them. */
export function showFirst({ answers, sharpeners }: FirstAnswers): void {
  byId("six").replaceChildren(
    ...answers.map(({ question, answer, band }) => {
      const one = document.createElement("div");
      one.append(made("h3", question), made("p", answer), ...(band === "" ? [] : [made("p", band, "band")]));
      return one;
    }),
  );
  const list = document.createElement("ul");
  for (const { key, fact, words, how } of sharpeners) {
    const item = document.createElement("li");
    const link = document.createElement("a");
    link.href = `#${fieldId(key)}`;
    link.textContent = fact;
    item.append(link, `: ${words}.${how === "" ? "" : ` ${how}`}`);
    list.append(item);
  }
  byId("sharpen").replaceChildren(...(sharpeners.length === 0 ? [] : [made("h3", "What each further fact would sharpen"), list]));
  byId("more").replaceChildren(
    ...answers.filter(({ more }) => more.length > 0)
      .flatMap(({ question, more }) => [made("h3", question), ...more.map((words) => made("p", words))]),
  );
}
