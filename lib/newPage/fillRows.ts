/** The readings of the fills of a hole as rows of a watch time and a tape, and the one text that stands for each fill. */
export interface FillRows {
  /** the text of each fill by its key, `fill 1` */
  readonly texts: () => Readonly<Record<string, string>>;
  readonly addReading: () => void;
  readonly addFill: () => void;
  /** puts fills in place of those that are there */
  readonly show: (fills: readonly string[]) => void;
}

/** @param changed  called after every change */
export function fillRows(place: HTMLElement, changed: () => void): FillRows {
  const fills = (): HTMLElement[] => [...place.querySelectorAll<HTMLElement>(".fill")];

  function reading(fill: HTMLElement, time = "", tape = ""): void {
    const row = document.createElement("div");
    row.className = "reading";
    const number = fills().indexOf(fill) + 1;
    const [clock, down] = [input(time, `time of a reading of fill ${number}`, "8:15"), input(tape, `tape down to the water, fill ${number}`, "tape")];
    const now = document.createElement("button");
    now.type = "button";
    now.textContent = "now";
    now.addEventListener("click", () => {
      const at = new Date();
      clock.value = `${at.getHours()}:${String(at.getMinutes()).padStart(2, "0")}`;
      changed();
      down.focus();
    });
    row.append(clock, now, down);
    fill.append(row);
  }

  function input(value: string, label: string, placeholder: string): HTMLInputElement {
    const made = document.createElement("input");
    Object.assign(made, { type: "text", value, placeholder, autocomplete: "off", enterKeyHint: "next" });
    made.setAttribute("aria-label", label);
    made.addEventListener("input", changed);
    return made;
  }

  function addFill(): HTMLElement {
    const fill = document.createElement("div");
    fill.className = "fill";
    const name = document.createElement("h3");
    name.textContent = `Fill ${fills().length + 1}`;
    fill.append(name);
    place.append(fill);
    return fill;
  }

  function emptyFill(): void {
    const fill = addFill();
    for (let i = 0; i < 3; i++) reading(fill);
  }

  emptyFill();
  return {
    texts: () => Object.fromEntries(fills().map((fill, i) => [`fill ${i + 1}`, [...fill.querySelectorAll(".reading")].map((row) => {
      const [clock, down] = [...row.querySelectorAll("input")].map(({ value }) => value.trim());
      return `${clock ?? ""} ${down ?? ""}`.trim();
    }).filter((text) => text !== "").join("; ")])),
    addReading: () => reading(fills().at(-1)!),
    addFill: emptyFill,
    show: (texts) => {
      place.replaceChildren();
      for (const text of texts) {
        const fill = addFill();
        for (const row of text.split(/[;\n]/)) {
          const match = /^(\S+(?: (?:min|h|s|am|pm))?) (.+)$/i.exec(row.trim());
          if (match !== null) reading(fill, match[1], match[2]);
        }
      }
      if (texts.length === 0) emptyFill();
    },
  };
}
