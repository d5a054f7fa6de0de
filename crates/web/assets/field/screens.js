// The screens beside the bar: the hives, typed words, what waits, and how the page is set.

import { button, draw, el, notice, tell } from "./parts.js";
import { asText } from "./send.js";
import { dayOf, hourOf, typedLines } from "./words.js";

const count = (number, one, many) => `${number} ${number === 1 ? one : many}`;

/** What stands above the hives: whether notes wait, whether the page can work here, how old the map is. */
function standing(app) {
  const says = [];
  if (!app.keep.lasting) {
    says.push(notice("care", "Care", "This browser keeps nothing for this page. Notes are lost when it is closed: give them out as text before that."));
  }
  if (!app.single && app.works === false) {
    // The same port tells, unencrypted, how a phone takes in the farm's certificate.
    const what = window.location.protocol === "https:" ? `http://${window.location.host}/` : "/pair";
    says.push(
      notice("care", "Care",
        "From this address the page cannot work without a signal: a browser keeps pages only from an address that it trusts. ",
        "Make this phone trust it, or take the page in one file along. Until then write only while the desk is in reach."),
      el("p", { class: "row wrap" },
        el("a", { class: "button", "data-key": "what to do", href: what }, "What to do"),
        el("a", { class: "button", href: "/field/file" }, "Page in one file")),
    );
  }
  return says;
}

/** Why something was not sent. It comes and goes by itself, so it stands where nothing that is tapped lies below it. */
function unsent(app) {
  return app.trouble
    ? [notice("plain", "Not sent yet", `${app.trouble}. Everything is kept here and is sent by itself once the desk is in reach.`)]
    : [];
}

function hiveButton(app, hive) {
  const under_way = app.looks.get(hive.hive);
  const colonies = hive.colonies.map((colony) => colony.colony).join(", ");
  const last = hive.colonies.map((colony) => colony.last_look).filter(Boolean).sort().at(-1);
  const seen = under_way ? Object.keys(under_way.look.bars).length : 0;
  const says = under_way
    ? `look under way: ${seen} of ${hive.bars.length} bars seen`
    : [colonies === hive.hive ? "" : colonies || "no bees", last ? `seen ${last}` : "never looked at"].filter(Boolean).join(" · ");
  return el("li", {}, button(`hive ${hive.hive}`,
    [el("span", { class: "name" }, hive.hive), el("span", { class: "says" }, says)],
    () => app.openHive(hive.hive), { class: under_way ? "hive open" : "hive" }));
}

/** All hives, by yard. */
export function hivesScreen(app) {
  const yards = new Map();
  for (const hive of app.pack?.hives ?? []) {
    const yard = hive.yard ?? "no yard";
    yards.set(yard, [...(yards.get(yard) ?? []), hive]);
  }
  const waiting = app.drafts.filter((draft) => draft.state !== "sent").length;
  const lists = [...yards].map(([yard, hives]) => [
    el("h2", {}, yard),
    el("ul", { class: "hives" }, hives.map((hive) => hiveButton(app, hive))),
  ]);
  draw({
    title: "Hives",
    head: [el("h1", {}, "Hives"), el("p", { class: "where" }, app.pack ? `map of ${app.pack.day}, ${app.pack.hour}` : "no map yet")],
    body: [
      ...standing(app),
      ...(app.pack ? lists.flat() : [el("p", {}, "The map of the hives has not been fetched yet. Open this page once while the desk is in reach. Words can be written down all the same.")]),
      ...unsent(app),
    ],
    thumb: [
      el("div", { class: "row" },
        button("set", "Set up", () => app.show("set")),
        button("waiting", `${waiting} waiting`, () => app.show("waiting")),
        button("words", "Write words", () => app.show("words"), { class: "main" })),
    ],
  });
}

/** A box for notes as they come. */
export function wordsScreen(app) {
  const hive = app.at?.hive ?? null;
  const box = el("textarea", {
    id: "words", rows: "8", autocapitalize: "off", spellcheck: "false",
    value: app.typed ?? "",
    oninput: (event) => { app.typed = event.target.value; },
  });
  const keepThem = async () => {
    const now = app.now();
    const lines = typedLines(box.value, hive, now.day);
    if (lines.length === 0) {
      tell("Nothing is written in the box.");
      box.focus();
      return;
    }
    await app.addDrafts(lines.map(({ line, at, day, timed }) => ({
      line, at, kind: "note", now: { ...now, day, hour: timed ? now.hour : "" },
    })));
    app.typed = "";
    tell(`${count(lines.length, "note is", "notes are")} kept and will be sent.`);
    app.back();
  };
  draw({
    title: "Words",
    head: [el("h1", {}, "Words"), el("p", { class: "where" }, hive ? `at ${hive}` : "")],
    body: [
      el("label", { for: "words" }, "Notes as they come, a line each"),
      box,
      el("p", { class: "hint" },
        hive ? `“look bar 3 sealed 5/8” is taken as about ${hive}. ` : "“feed alder syrup 1 kg” and any other note can be typed or dictated. ",
        "What cannot be read as a note is kept as a jotting, word for word."),
    ],
    thumb: [el("div", { class: "row" },
      button("back", "Back", () => app.back()),
      button("keep words", "Keep", keepThem, { class: "main" }))],
  });
}

const BECAME = {
  waiting: "waits to be sent",
  written: "written",
  there: "was there already",
  jotting: "kept as a jotting",
  stays: "could not be taken in; it stays here",
};

/** Says what became of a draft. */
function draftSays(draft) {
  const became = draft.state === "waiting" ? "waiting" : draft.became ?? draft.state;
  const parts = [BECAME[became] ?? became];
  if (draft.handle) {
    parts.push(draft.handle);
  }
  if (draft.why) {
    parts.push(draft.why);
  }
  if (draft.lost) {
    parts.push("the browser no longer has the picture or remark");
  }
  return [...parts, ...(draft.remarks ?? [])].join(" · ");
}

/** What waits, what was sent, and the ways home without a signal. */
export function waitingScreen(app) {
  const waiting = app.drafts.filter((draft) => draft.state !== "sent");
  const sent = app.drafts.filter((draft) => draft.state === "sent").reverse().slice(0, 40);
  const item = (draft) => el("li", { class: `draft ${draft.state}` },
    el("code", { class: "note" }, `${draft.day} ${draft.hour ?? ""} ${draft.at ? `(at ${draft.at}) ` : ""}${draft.line}`),
    el("span", { class: "says" }, draftSays(draft)));
  const text = () => asText(waiting, app.now());
  const save = () => {
    const address = URL.createObjectURL(new Blob([text()], { type: "text/plain;charset=utf-8" }));
    const link = el("a", { href: address, download: `field-notes-${app.now().day}.txt` });
    link.click();
    setTimeout(() => URL.revokeObjectURL(address), 10_000);
  };
  const copy = async () => {
    try {
      await navigator.clipboard.writeText(text());
      tell("The notes are copied.");
    } catch {
      app.pasteable = text();
      app.draw();
      tell("The browser does not copy by itself; the text stands on the page.");
    }
  };
  const share = async () => {
    const file = new File([text()], `field-notes-${app.now().day}.txt`, { type: "text/plain" });
    try {
      await navigator.share(navigator.canShare?.({ files: [file] }) ? { files: [file] } : { text: text() });
    } catch {
      tell("Nothing was shared.");
    }
  };
  const looks = [...app.looks.values()];
  draw({
    title: "Waiting",
    head: [el("h1", {}, "To send"), el("p", { class: "where" }, waiting.length === 0 ? "nothing waits" : count(waiting.length, "note waits", "notes wait"))],
    body: [
      ...standing(app),
      ...unsent(app),
      looks.length > 0 && notice("plain", "Under way", `${looks.map(({ look }) => look.hive).join(", ")}: a look is sent once it is ended.`),
      el("ul", { class: "drafts" }, waiting.map(item)),
      waiting.length > 0 && el("div", { class: "row wrap" },
        button("save", "Save as text", save),
        button("copy", "Copy", copy),
        navigator.share && button("share", "Share", share)),
      waiting.length > 0 && el("p", { class: "hint" },
        "The text is brought in at the desk: page “Bring notes home”, or combwright books bring FILE. Each note comes in once, however often. Pictures and spoken remarks do not fit into a text; they wait here."),
      app.pasteable && el("textarea", { readonly: true, rows: "8", "aria-label": "The notes as text", value: app.pasteable }),
      sent.length > 0 && el("h2", {}, "Sent"),
      el("ul", { class: "drafts" }, sent.map(item)),
    ],
    thumb: [el("div", { class: "row" },
      button("back", "Back", () => app.back()),
      !app.single && button("send", "Send now", () => app.send(), { class: "main" }))],
  });
}

/** How the page is set. */
export function setScreen(app) {
  const choose = (name, label, options, value) => el("p", { class: "field" },
    el("label", { for: name }, label),
    el("select", { id: name, onchange: (event) => app.set(name, event.target.value) },
      options.map(([of, text]) => el("option", { value: of, selected: of === value }, text))));
  const people = app.pack?.people ?? [];
  const yards = app.pack?.yards ?? [];
  const chosen = new Set(app.settings.yards ?? []);
  const yardBox = (yard) => el("li", {}, el("label", { class: "tick" },
    el("input", {
      type: "checkbox", checked: chosen.size === 0 || chosen.has(yard),
      onchange: (event) => {
        const all = chosen.size === 0 ? new Set(yards) : new Set(chosen);
        all[event.target.checked ? "add" : "delete"](yard);
        app.setYards(all.size === yards.length ? [] : [...all]);
      },
    }), yard));
  draw({
    title: "Set up",
    head: [el("h1", {}, "Set up")],
    body: [
      ...standing(app),
      choose("hand", "The thumb that taps", [["right", "right"], ["left", "left"]], app.settings.hand),
      choose("by", "Who writes", [["", "nobody named"], ...people.map((id) => [id, id])], app.settings.by),
      !app.single && yards.length > 1 && el("fieldset", {}, el("legend", {}, "Yards taken along"), el("ul", { class: "ticks" }, yards.map(yardBox))),
      el("p", { class: "hint" }, app.kept),
      !app.single && el("p", {}, el("a", { href: "/field/file" }, "This page in one file"),
        " needs no signal and no server; its notes come home as text."),
      !app.single && el("p", {}, el("a", { href: "/" }, "All pages"), " of the books."),
    ],
    thumb: [el("div", { class: "row" }, button("back", "Back", () => app.back(), { class: "main" }))],
  });
}

/** The clock of the phone. */
export function clock() {
  const time = new Date();
  return { made: time.toISOString(), day: dayOf(time), hour: hourOf(time) };
}
