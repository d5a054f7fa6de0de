// A look through a hive, as it is tapped in: a plain value that each tap turns into the next one. Nothing here
// knows the screen, the clock or the store.

import { barsSaid, quoted, shareSaid } from "./words.js";

/** What is said of a bar, in the order of the paper cards; what those leave to words comes last. */
export const COLUMNS = [
  { key: "drawn", label: "Drawn", kind: "share" },
  { key: "brood", label: "Brood", kind: "share" },
  { key: "sealed", label: "Sealed", kind: "share" },
  { key: "open", label: "Open", kind: "share" },
  { key: "eggs", label: "Eggs", kind: "eggs" },
  { key: "drones", label: "Drones", kind: "share" },
  { key: "capped", label: "Capped", kind: "share" },
  { key: "honey", label: "Honey", kind: "share" },
  { key: "nectar", label: "Nectar", kind: "share" },
  { key: "pollen", label: "Pollen", kind: "share" },
  { key: "bees", label: "Bees", kind: "share" },
  { key: "cells cups", label: "Cups", kind: "count" },
  { key: "cells charged", label: "Cells charged", kind: "count" },
  { key: "cells sealed", label: "Cells sealed", kind: "count" },
  { key: "fault", label: "Fault", kind: "fault" },
  { key: "queen", label: "Queen", kind: "seen" },
  // Too rare for a column of the cards, where they are written in words.
  { key: "cells emerged", label: "Cells emerged", kind: "count" },
  { key: "cells torn", label: "Cells torn", kind: "count" },
];

/** What is said of the colony as a whole. */
export const COLONY_COLUMNS = [
  { key: "queen", label: "Queen", kind: "seen" },
  { key: "temper", label: "Temper", kind: "temper" },
  { key: "bees", label: "Bees cover", kind: "share" },
  { key: "heft", label: "Heft", kind: "heft" },
  { key: "crushed", label: "Bees crushed", kind: "count" },
  { key: "smoke", label: "Smoke", kind: "smoke" },
  { key: "handled", label: "Handled", kind: "handled" },
  { key: "flight", label: "Flight", kind: "flight" },
];

const EIGHTHS = [0, 1, 2, 3, 4, 5, 6, 7, 8].map((value) => ({ value, text: String(value) }));
const choice = (...words) => words.map((value) => ({ value, text: value }));
const UNKNOWN = { value: null, text: "not said" };

/** What can be tapped for each kind. */
export const PADS = {
  share: [...EIGHTHS, UNKNOWN],
  eggs: [...EIGHTHS, { value: "seen", text: "seen" }],
  count: [...EIGHTHS, { value: "more", text: "one more" }],
  fault: [...choice("none", "crossed", "bulging", "attached", "broken", "fallen"), UNKNOWN],
  seen: [...choice("seen", "unseen"), UNKNOWN],
  temper: [...choice("calm", "restless", "sharp"), UNKNOWN],
  heft: [...choice("light", "fair", "heavy"), UNKNOWN],
  smoke: [...choice("none", "little", "much"), UNKNOWN],
  handled: [...choice("gently", "roughly"), UNKNOWN],
  flight: [...choice("none", "little", "good", "heavy"), UNKNOWN],
};

/** What an earlier look said and what can no longer be true once this is seen. */
const OUTDATED_BY = { sealed: ["brood"], open: ["brood"], brood: ["sealed", "open"] };

/** How many steps can be taken back. */
export const MOST_UNDO = 60;

/** A look that begins. Place 0 stands for the colony as a whole. */
export function newLook(id, hive, now, by) {
  return {
    id,
    hive: hive.hive,
    began: now,
    by,
    at: 0,
    column: COLONY_COLUMNS[0].key,
    bars: {},
    order: [],
    colony: {},
    changed: {},
    undo: [],
    taps: 0,
  };
}

/** The bar of a hive by its place, as it was last seen. */
export function barAt(hive, place) {
  return hive.bars[place - 1];
}

/** What was last known of a bar, by column; an empty object where nothing was. */
export function lastKnown(bar) {
  if (!bar?.has_comb) {
    return {};
  }
  const known = { ...bar.shares };
  if (bar.eggs && known.eggs === undefined) {
    known.eggs = bar.eggs;
  }
  if (bar.fault) {
    known.fault = bar.fault;
  }
  delete known.empty;
  return known;
}

/** What is told of the bar that is open: what was noted in this look, or last known, with what was just tapped. */
export function shownOf(look, hive) {
  if (look.at === 0) {
    return { ...look.colony };
  }
  const noted = look.bars[look.at];
  const base = noted?.how === "noted" ? noted.values : lastKnown(barAt(hive, look.at));
  return { ...base, ...look.changed };
}

/** Columns of the bar or colony that is open. */
export function columnsOf(look) {
  return look.at === 0 ? COLONY_COLUMNS : COLUMNS;
}

/** Whether anything was tapped on the open bar that is not yet noted. */
export function isChanged(look) {
  return Object.keys(look.changed).length > 0;
}

/** Whether a bar can be said to be as before: there is a last look, or the books know it as bare. */
export function canBeAsBefore(look, hive) {
  if (look.at === 0) {
    return false;
  }
  const bar = barAt(hive, look.at);
  return !bar?.has_comb || Boolean(bar.looked_on);
}

function remembered(look) {
  const { undo, ...before } = look;
  return { ...structuredClone(before), undo: [...undo, JSON.stringify(before)].slice(-MOST_UNDO) };
}

/** One step back. */
export function undone(look) {
  const last = look.undo.at(-1);
  return last === undefined ? look : { ...JSON.parse(last), undo: look.undo.slice(0, -1) };
}

/** A column is chosen, to be given a value next. Choosing alone is nothing to be taken back. */
export function chosen(look, column) {
  return { ...look, column };
}

/** A value is tapped; the column after it is chosen, so that neighbours need no tap of their own. */
export function tapped(look, hive, value) {
  const next = remembered(look);
  const columns = columnsOf(look);
  const at = columns.findIndex((column) => column.key === look.column);
  const key = look.column;
  let given = value;
  if (value === "more") {
    const now = shownOf(look, hive)[key];
    given = (typeof now === "number" ? now : 0) + 1;
  }
  if (look.at === 0) {
    next.colony = { ...next.colony, [key]: given };
  } else {
    next.changed = { ...next.changed, [key]: given };
    // What an earlier look said of all brood no longer holds beside a new part of it, nor the parts beside a new whole.
    for (const old of OUTDATED_BY[key] ?? []) {
      next.changed[old] ??= null;
    }
  }
  if (value !== "more") {
    next.column = columns[Math.min(at + 1, columns.length - 1)].key;
  }
  return next;
}

/** Words are put to the open bar or colony. */
export function worded(look, words) {
  const next = remembered(look);
  const text = words.trim() === "" ? null : words.trim();
  if (look.at === 0) {
    next.colony = { ...next.colony, note: text };
  } else {
    next.changed = { ...next.changed, note: text };
  }
  return next;
}

/** Another bar is opened. What was tapped on the one that is left is noted first, so that nothing tapped is lost. */
export function movedTo(look, hive, place, now) {
  const left = look.at > 0 && isChanged(look) ? noted(look, hive, now, 0) : remembered(look);
  const at = Math.max(0, Math.min(hive.bars.length + 1, place));
  const column = at === 0 ? COLONY_COLUMNS[0].key : COLUMNS[0].key;
  return { ...left, at, changed: {}, column };
}

function recorded(look, hive, record, step) {
  const next = remembered(look);
  next.bars = { ...next.bars, [look.at]: record };
  next.order = [...next.order.filter((place) => place !== look.at), look.at];
  next.at = Math.min(hive.bars.length + (step > 0 ? 1 : 0), look.at + step);
  next.changed = {};
  next.column = COLUMNS[0].key;
  return next;
}

/** The open bar was seen and is as before, or still bare; on to the next. */
export function asBefore(look, hive, now) {
  return recorded(look, hive, { how: barAt(hive, look.at)?.has_comb ? "before" : "bare", now }, 1);
}

/** The open bar is noted with all that is shown of it; on to the next. */
export function noted(look, hive, now, step = 1) {
  const values = shownOf(look, hive);
  for (const key of Object.keys(values)) {
    if (values[key] === null || values[key] === undefined) {
      delete values[key];
    }
  }
  return recorded(look, hive, { how: "noted", now, values }, step);
}

/** Places that follow each other as runs: 3, 5 to 9. */
export function runsSaid(places) {
  const runs = [];
  for (const place of places) {
    const run = runs.at(-1);
    if (run && run.to + 1 === place) {
      run.to = place;
    } else {
      runs.push({ from: place, to: place });
    }
  }
  return runs.map(({ from, to }) => (from === to ? String(from) : `${from} to ${to}`)).join(", ");
}

/** The places not yet seen. */
export function unseen(look, hive) {
  return hive.bars.map((bar) => bar.place).filter((place) => !look.bars[place]);
}

/** The look is at its end: past the last bar. */
export function isPastEnd(look, hive) {
  return look.at > hive.bars.length;
}

/** What does not fit together on the bar that is open, in words; it can be written all the same. */
export function oddities(values) {
  const share = (key) => (typeof values[key] === "number" ? values[key] : 0);
  // Sealed and open brood are parts of all brood, and eggs are of the open.
  const brood = Math.max(share("brood"), share("sealed") + Math.max(share("open"), share("eggs"))) + share("drones");
  const stores = Math.max(share("capped"), share("honey")) + share("nectar") + share("pollen");
  const most = typeof values.drawn === "number" ? values.drawn : 8;
  const all = brood + stores;
  if (all <= most + 1e-6) {
    return [];
  }
  return [
    `Brood and stores make ${shareSaid(all)} of the full outline, and ${
      typeof values.drawn === "number" ? `${shareSaid(most)} of it is drawn` : "no more than 8/8 can be"
    }.`,
  ];
}

const said = (column, value) => {
  switch (column.kind) {
    case "share":
      return `${column.key} ${shareSaid(value)}`;
    case "eggs":
      return typeof value === "number" && value > 0
        ? `eggs ${shareSaid(value)}`
        : `eggs ${value === 0 ? "unseen" : value}`;
    default:
      return `${column.key} ${value}`;
  }
};

/** The details of a note, in the order of the columns. */
export function detailsOf(values, columns) {
  const details = columns
    .filter((column) => values[column.key] !== undefined && values[column.key] !== null)
    .map((column) => said(column, values[column.key]));
  if (values.note) {
    details.push(`note ${quoted(values.note)}`);
  }
  return details.join(" ");
}

function colonyOf(hive, place) {
  const own = hive.colonies.find((colony) => colony.from <= place && place <= colony.to);
  return (own ?? hive.colonies[0])?.colony ?? hive.hive;
}

/** What is written of bars that were seen and not tapped on: a bare one was never said to hold anything. */
const ALIKE = { before: "as before", bare: "drawn 0/8" };

/**
 * The notes of a look, in the order in which the bars were seen: `{line, now}` each. Bars as before, or bare ones,
 * that were seen one after the other, side by side and on one day, share a note.
 */
export function linesOf(look, hive) {
  const lines = [];
  const colony = detailsOf(look.colony, COLONY_COLUMNS);
  if (colony !== "") {
    lines.push({ line: `look ${colonyOf(hive, 1)} ${colony}`, now: look.began });
  }
  let run = null;
  const close = () => {
    if (run) {
      lines.push({ line: `look ${barsSaid(look.hive, run.from, run.to)} ${ALIKE[run.how]}`, now: run.now });
    }
    run = null;
  };
  for (const place of look.order) {
    const record = look.bars[place];
    if (record.how in ALIKE) {
      if (run && run.how === record.how && run.to + 1 === place && run.now.day === record.now.day) {
        run.to = place;
      } else {
        close();
        run = { how: record.how, from: place, to: place, now: record.now };
      }
      continue;
    }
    close();
    const details = detailsOf(record.values, COLUMNS);
    const line = `look ${barsSaid(look.hive, place, place)} ${details === "" ? "empty" : details}`;
    lines.push({ line, now: record.now });
  }
  close();
  const last = look.order.at(-1);
  if (last !== undefined && unseen(look, hive).length > 0) {
    lines.push({ line: `look ${colonyOf(hive, last)} stopped ${last}`, now: look.bars[last].now });
  }
  return lines;
}

/** The hive as it is known after a look, until the books tell it themselves. */
export function hiveAfter(look, hive) {
  const bars = hive.bars.map((bar) => {
    const record = look.bars[bar.place];
    if (!record) {
      return bar;
    }
    const looked_on = record.now.day;
    if (record.how in ALIKE) {
      return { ...bar, ...(bar.has_comb ? { looked_on } : {}) };
    }
    const shares = {};
    for (const column of COLUMNS) {
      const value = record.values[column.key];
      if (typeof value === "number" && column.kind !== "count") {
        shares[column.key] = value;
      }
    }
    const shows = Object.entries(shares).some(([key, value]) => key !== "bees" && value > 0);
    const { fault, eggs } = record.values;
    const after = { place: bar.place, has_comb: bar.has_comb || shows, shares, looked_on };
    return {
      ...after,
      ...(bar.tag ? { tag: bar.tag } : {}),
      ...(fault && fault !== "none" ? { fault } : {}),
      ...(typeof eggs === "string" ? { eggs } : {}),
    };
  });
  const last = look.order.map((place) => look.bars[place].now.day).sort().at(-1) ?? look.began.day;
  const colonies = hive.colonies.map((colony) => {
    const seen = look.order.some((place) => colony.from <= place && place <= colony.to);
    return seen || Object.keys(look.colony).length > 0 ? { ...colony, last_look: last } : colony;
  });
  return { ...hive, bars, colonies };
}
