// Ids, days and hours of the phone, and words as the note language wants them.

/** An id of version 7 (RFC 9562): by its time first, then by chance. */
export function freshId(ms = Date.now()) {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  let rest = ms;
  for (let at = 5; at >= 0; at -= 1) {
    bytes[at] = rest % 256;
    rest = Math.floor(rest / 256);
  }
  bytes[6] = (bytes[6] & 0x0f) | 0x70;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const digits = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return [0, 8, 12, 16, 20].map((from, at, all) => digits.slice(from, all[at + 1] ?? 32)).join("-");
}

const two = (number) => String(number).padStart(2, "0");

/** The day on the phone's own clock, such as 2026-07-19. */
export function dayOf(time) {
  return `${time.getFullYear()}-${two(time.getMonth() + 1)}-${two(time.getDate())}`;
}

/** The hour on the phone's own clock, such as 14:20. */
export function hourOf(time) {
  return `${two(time.getHours())}:${two(time.getMinutes())}`;
}

/** Free words between double quotes; the quote itself cannot stand within. */
export function quoted(words) {
  return `"${words.replace(/"/g, "'").replace(/\s+/g, " ").trim()}"`;
}

/** An amount in eighths, as a person says it and as a note writes it. */
export function shareSaid(eighths) {
  return Number.isInteger(eighths) ? `${eighths}/8` : `${Math.round(eighths * 12.5)} %`;
}

/** Places as a note names them: bar 3, bars 3 to 9. */
export function barsSaid(hive, from, to) {
  return from === to ? `${hive} bar ${from}` : `${hive} bars ${from} to ${to}`;
}

/**
 * Typed or dictated words, line by line, each with the hive and day that it leans on. The short ways of the
 * note language that set a hive or a day for the lines after them are followed here.
 */
export function typedLines(text, hive, day) {
  const out = [];
  let at = hive;
  let on = day;
  for (const typed of text.split(/\r?\n/)) {
    const line = typed.trim();
    const sets = /^at(?:\s+(\S+))?$/.exec(line);
    const dates = /^day\s+(\d{4}-\d\d-\d\d)$/.exec(line);
    if (sets) {
      at = sets[1] ?? null;
    } else if (dates) {
      on = dates[1];
    } else if (line !== "") {
      out.push({ line, at, day: on, timed: on === day });
    }
  }
  return out;
}
