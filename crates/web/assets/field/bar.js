// The screen on which a hive is gone through, bar by bar, with one thumb.

import { PADS, asBefore, barAt, canBeAsBefore, chosen, columnsOf, isChanged, isPastEnd, linesOf, movedTo, noted, oddities, runsSaid, shownOf, tapped, undone, unseen, worded } from "./look.js";
import { blake3 } from "./blake3.js";
import { button, draw, el, notice, tell } from "./parts.js";
import { barsSaid, quoted, shareSaid } from "./words.js";

/** The largest picture that the desk takes in. */
const MOST_PICTURE = 12 * 1024 * 1024;

function valueSaid(column, value) {
  if (value === undefined || value === null) {
    return "–";
  }
  if (typeof value === "number" && (column.kind === "share" || column.kind === "eggs")) {
    return shareSaid(value);
  }
  return String(value);
}

function chip(app, column, value) {
  const { look } = app.at;
  const isNow = look.at === 0 ? value !== undefined : look.changed[column.key] !== undefined
    || look.bars[look.at]?.how === "noted";
  const says = value === undefined || value === null ? (isNow ? "not said" : "–") : `${isNow ? "now" : "was"} ${valueSaid(column, value)}`;
  return button(`column ${column.key}`, [el("span", { class: "label" }, column.label), el("span", { class: "value" }, says)],
    () => app.step(chosen(look, column.key)),
    { class: `chip${isNow ? " now" : ""}`, "aria-pressed": String(look.column === column.key) });
}

function pad(app, column) {
  const { look, map } = app.at;
  const value = shownOf(look, map)[column.key];
  const keys = PADS[column.kind].map((key) =>
    button(`pad ${key.text}`, key.text,
      () => {
        const next = tapped(look, map, key.value);
        app.step(next);
        tell(`${column.label} ${valueSaid(column, shownOf(next, map)[column.key])}`);
      },
      {
        class: key.text.length > 1 ? "key word" : "key",
        "aria-pressed": String(value !== undefined && key.value === value),
      }));
  const unit = column.kind === "share" || column.kind === "eggs" ? ", in eighths" : "";
  const cover = look.at > 0 && column.key === "bees" ? " covered by bees" : "";
  return el("div", { class: `pad ${column.kind}`, role: "group", "aria-label": `${column.label}${unit}` },
    el("p", { class: "what", "aria-hidden": "true" }, `${column.label}${cover}${unit}`),
    el("div", { class: "keys" }, keys));
}

function lastSaid(map, place) {
  const bar = barAt(map, place);
  const tag = bar.tag ? `${bar.tag} · ` : "";
  const follower = map.followers.includes(place) ? "behind the follower · " : "";
  if (!bar.has_comb) {
    return `${tag}${follower}bare by the map`;
  }
  return `${tag}${follower}${bar.looked_on ? `seen ${bar.looked_on}` : "never looked at"}${bar.fault ? ` · ${bar.fault}` : ""}`;
}

/** Undo, back, on, and the one thing that is done most. */
function ways(app, primary) {
  const { look, map } = app.at;
  return el("div", { class: "row ways" },
    button("before", el("span", { "aria-hidden": "true" }, "‹"), () => app.step(movedTo(look, map, look.at - 1, app.now())),
      { "aria-label": "Bar before", disabled: look.at === 0 }),
    button("undo", "Undo", () => { app.step(undone(look)); tell("Taken back."); }, { disabled: look.undo.length === 0 }),
    button("after", el("span", { "aria-hidden": "true" }, "›"), () => app.step(movedTo(look, map, look.at + 1, app.now())),
      { "aria-label": "Next bar, this one not seen", disabled: isPastEnd(look, map) }),
    primary);
}

function recordedSaid(look) {
  const record = look.bars[look.at];
  if (!record) {
    return null;
  }
  return { before: "noted as before", bare: "noted as bare" }[record.how] ?? "noted";
}

/** Words, a photograph and a spoken remark of the open bar. */
function extras(app) {
  const { look } = app.at;
  const what = look.at === 0 ? look.hive : barsSaid(look.hive, look.at, look.at);
  const shown = shownOf(look, app.at.map);
  const words = el("input", {
    id: "note", "data-key": "note", value: shown.note ?? "", autocomplete: "off",
    onchange: (event) => app.step(worded(look, event.target.value)),
  });
  const picture = el("input", {
    id: "photo", type: "file", accept: "image/*", capture: "environment", class: "unseen",
    onchange: (event) => app.takePicture(event.target.files[0], what),
  });
  return el("div", { class: "extras" },
    el("div", { class: "row" },
      picture,
      el("label", { for: "photo", class: "button" }, "Photo"),
      speakButton(app, what)),
    el("label", { for: "note" }, `Words on ${look.at === 0 ? "the colony" : "this bar"}`),
    words);
}

function speakButton(app, what) {
  const speaking = app.speaking;
  const start = (event) => {
    if (event.type === "keydown" && (event.repeat || (event.key !== " " && event.key !== "Enter"))) {
      return;
    }
    event.preventDefault();
    app.speak(what);
  };
  const stop = () => app.stopSpeaking();
  return button("speak", speaking ? "Speaking… let go to end" : "Hold to speak", null, {
    class: speaking ? "speaking" : "",
    onclick: (event) => event.preventDefault(),
    onpointerdown: start, onpointerup: stop, onpointercancel: stop,
    onkeydown: start, onkeyup: stop,
  });
}

function colonyScreen(app) {
  const { look, map } = app.at;
  const columns = columnsOf(look);
  const column = columns.find((one) => one.key === look.column) ?? columns[0];
  const shown = shownOf(look, map);
  const lives = map.colonies.map((colony) => `${colony.colony}, places ${colony.from} to ${colony.to}`).join("; ");
  draw({
    title: look.hive,
    head: [
      el("h1", {}, look.hive),
      el("p", { class: "where" }, lives || "no bees by the books"),
      button("leave", "Hives", () => app.leave(), { class: "small" }),
    ],
    body: [
      map.quarantined ? notice("care", "Care", "This hive is kept apart: nothing goes in or out of it.") : null,
      map.colonies.length > 1 ? notice("plain", "Two colonies", `what is tapped here is said of ${map.colonies[0].colony}; write of the other in words.`) : null,
      el("div", { class: "chips" }, columns.map((one) => chip(app, one, shown[one.key]))),
      extras(app),
    ],
    thumb: [
      pad(app, column),
      ways(app, button("begin", "To the bars", () => app.step(movedTo(look, map, 1, app.now())), { class: "main" })),
    ],
  });
}

function endScreen(app) {
  const { look, map } = app.at;
  const missing = unseen(look, map);
  const lines = linesOf(look, map);
  const isWhole = missing.length === 0;
  const seen = look.order.length;
  const save = async () => {
    const next = isWhole ? `${look.hive} is noted.` : `${look.hive} is noted, stopped at bar ${look.order.at(-1)}.`;
    await app.closeLook();
    tell(next);
  };
  draw({
    title: look.hive,
    head: [
      el("h1", {}, look.hive),
      el("p", { class: "where" }, `${seen} of ${map.bars.length} bars seen`),
      button("leave", "Hives", () => app.leave(), { class: "small" }),
    ],
    body: [
      isWhole
        ? el("p", {}, "Every bar was seen.")
        : notice("plain", "Not seen", `${missing.length === 1 ? "bar" : "bars"} ${runsSaid(missing)}. Going on later is possible: the look stays under way until it is ended here.`),
      lines.length > 0 ? el("p", {}, lines.length === 1 ? "This note will be written:" : "These notes will be written:") : el("p", {}, "Nothing has been noted yet."),
      el("ul", { class: "drafts" }, lines.map(({ line, now }) => el("li", {}, el("code", { class: "note" }, `${now.day} ${now.hour} ${line}`)))),
    ],
    thumb: [
      ways(app, lines.length > 0
        ? button("keep look", isWhole ? "Keep the look" : "Stop and keep", save, { class: "main" })
        : button("drop look", "Leave it", () => app.dropLook(), { class: "main" })),
    ],
  });
}

/** The open hive: the colony, a bar, or the end. */
export function barScreen(app) {
  const { look, map } = app.at;
  if (look.at === 0) {
    return colonyScreen(app);
  }
  if (isPastEnd(look, map)) {
    return endScreen(app);
  }
  const columns = columnsOf(look);
  const column = columns.find((one) => one.key === look.column) ?? columns[0];
  const shown = shownOf(look, map);
  const bar = barAt(map, look.at);
  const now = app.now();
  const done = recordedSaid(look);
  const primary = isChanged(look)
    ? button("main", "Note it", () => { app.step(noted(look, map, now)); tell(`Bar ${look.at} noted.`); }, { class: "main" })
    : canBeAsBefore(look, map)
      ? button("main", bar.has_comb ? "As before" : "Still bare", () => { app.step(asBefore(look, map, now)); tell(`Bar ${look.at} ${bar.has_comb ? "as before" : "still bare"}.`); }, { class: "main" })
      : button("main", "Note it", () => tell("Tap what is seen first: this comb was never looked at."), { class: "main", "aria-disabled": "true" });
  const odd = isChanged(look) ? oddities(shown) : [];
  draw({
    title: look.hive,
    head: [
      el("h1", {}, `${look.hive} ${look.at}`, el("small", {}, ` of ${map.bars.length}`)),
      el("p", { class: "where" }, lastSaid(map, look.at), done ? el("strong", {}, ` · ${done}`) : null),
      button("end", "End", () => app.step(movedTo(look, map, map.bars.length + 1, now)), { class: "small" }),
    ],
    body: [
      el("div", { class: "chips" }, columns.map((one) => chip(app, one, shown[one.key]))),
      bar.words ? el("p", { class: "hint" }, `Last words: ${bar.words}`) : null,
      ...app.pictures(look.hive, look.at),
      extras(app),
    ],
    // Where the eye is while the thumb taps; above the chips it would be scrolled away on a small screen.
    thumb: [...odd.map((says) => notice("odd", "Odd", says, " It is written all the same.")), pad(app, column), ways(app, primary)],
  });
}

/** A picture made smaller, where it is larger than the desk takes in. */
export async function fitting(file) {
  if (file.size <= MOST_PICTURE) {
    return file;
  }
  const picture = await createImageBitmap(file);
  const scale = Math.min(1, 3000 / Math.max(picture.width, picture.height));
  const canvas = el("canvas", { width: Math.round(picture.width * scale), height: Math.round(picture.height * scale) });
  canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
  return new Promise((done, failed) => {
    canvas.toBlob((blob) => (blob ? done(blob) : failed(new Error("the picture is too large"))), "image/jpeg", 0.9);
  });
}

/** The note that goes with a picture or a spoken remark, and its bytes. */
export async function attached(kind, blob, what, now) {
  const digest = blake3(new Uint8Array(await blob.arrayBuffer()));
  const ending = { "image/png": "png", "image/webp": "webp", "audio/mp4": "m4a", "audio/ogg": "ogg" };
  const usual = kind === "photo" ? "jpg" : "webm";
  const name = `${what.replace(/\s+/g, "-")}-${now.hour.replace(":", "")}.${ending[blob.type.split(";")[0]] ?? usual}`;
  return { digest, line: `attach ${kind} ${quoted(name)} of ${quoted(what)} digest ${quoted(digest)}` };
}
