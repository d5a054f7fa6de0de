// The comb of a photograph, measured against the bar that it hangs from.

import { button, draw, el } from "./parts.js";

/** The picture that was last taken, to be measured. */
export function measureScreen(app) {
  draw({
    title: "Measure",
    head: [el("h1", {}, "Measure")],
    body: [],
    thumb: [el("div", { class: "row" }, button("back", "Back", () => app.back(), { class: "main" }))],
  });
}
