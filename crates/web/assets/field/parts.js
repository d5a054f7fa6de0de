// Small parts that all screens are made of.

/** An element: its name, what it has, what is in it. Texts are texts, never markup. */
export function el(name, has = {}, ...inner) {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(has)) {
    if (value === undefined || value === null || value === false) {
      continue;
    }
    if (key.startsWith("on")) {
      made.addEventListener(key.slice(2), value);
    } else if (key === "value") {
      made.value = value;
    } else {
      made.setAttribute(key, value === true ? "" : value);
    }
  }
  made.append(...inner.flat().filter((part) => part !== null && part !== undefined && part !== false));
  return made;
}

/** A button that does something; its key keeps the keyboard's place when the screen is drawn anew. */
export function button(key, text, act, has = {}) {
  return el("button", { type: "button", "data-key": key, onclick: act, ...has }, ...[text].flat());
}

/** A notice: a word that says what sort it is, and what it says. */
export function notice(sort, word, ...says) {
  return el("p", { class: `notice ${sort}` }, el("strong", {}, `${word}: `), ...says);
}

/** Draws a screen: its head, its body, and what lies under the thumb. */
export function draw({ title, head, body, thumb }) {
  const key = document.activeElement?.dataset?.key;
  const at = document.querySelector("main .body")?.scrollTop ?? 0;
  const same = document.body.dataset.screen === title;
  document.querySelector("header").replaceChildren(...head.filter(Boolean));
  const inner = el("div", { class: "body" }, ...body);
  document.querySelector("main").replaceChildren(inner, el("div", { class: "thumb" }, ...thumb));
  document.body.dataset.screen = title;
  document.title = `${title} · in the field`;
  if (same) {
    inner.scrollTop = at;
  }
  if (key) {
    document.querySelector(`[data-key="${CSS.escape(key)}"]`)?.focus({ preventScroll: true });
  }
}

/** Says something to those who listen; on the screen it stands elsewhere. */
export function tell(words) {
  const box = document.getElementById("told");
  box.textContent = "";
  box.textContent = words;
}
