/** The states that a page was in, as the browser's own history: its back button takes a change back. */
export interface PastStates {
  /** comes to rest at an address; only another hour is no change worth going back to */
  readonly keep: (address: string) => void;
  readonly undo: () => void;
  readonly redo: () => void;
}

/** @param open  shows a state by its address */
export function pastStates(open: (address: string) => void): PastStates {
  const depthNow = (): number => ((history.state as { readonly depth?: number } | null)?.depth ?? 0);
  const undo = (): void => {
    if (depthNow() > 0) history.back();
  };
  const redo = (): void => history.forward();
  addEventListener("popstate", () => open(location.hash));
  addEventListener("keydown", (event) => {
    if (!(event.ctrlKey || event.metaKey) || event.altKey || (event.target as Element).matches("input, textarea")) return;
    const key = event.key.toLowerCase();
    if (key !== "z" && key !== "y") return;
    event.preventDefault();
    if (key === "y" || event.shiftKey) redo();
    else undo();
  });
  return {
    keep: (address) => {
      if (address === location.hash) return;
      const target = address === "" ? location.pathname + location.search : address;
      if (withoutHour(address) === withoutHour(location.hash)) history.replaceState(history.state, "", target);
      else history.pushState({ depth: depthNow() + 1 }, "", target);
    },
    undo, redo,
  };
}

function withoutHour(address: string): string {
  return address.replace(/^#/, "").split("&").filter((part) => part !== "" && !part.startsWith("hour=")).join("&");
}
