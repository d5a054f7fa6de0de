// Drafts on their way home: in their order, each until it is answered for, however often that takes. Whatever is
// sent twice is known by its id at the other end.

/** A batch stays well below what the desk takes in at once. */
const MOST_BATCH_BYTES = 40 * 1024;
const MOST_BATCH = 200;

const ANSWER_WITHIN_MS = 20_000;
const BLOB_WITHIN_MS = 120_000;

/** How long to wait after a failure: twice as long each time, up to five minutes, never all phones at once. */
export function waitAfter(failures, chance = Math.random()) {
  return Math.min(300_000, 2_000 * 2 ** Math.max(0, failures - 1)) * (1 + 0.25 * chance);
}

/** The next drafts to be sent together, from those that wait in their order. */
export function nextBatch(waiting, most = MOST_BATCH) {
  const batch = [];
  let bytes = 0;
  for (const draft of waiting) {
    bytes += new TextEncoder().encode(JSON.stringify(asSent(draft))).length + 1;
    if (batch.length > 0 && (bytes > MOST_BATCH_BYTES || batch.length >= most)) {
      break;
    }
    batch.push(draft);
    if (draft.digest) {
      // What is attached is brought first, so the batch ends with its note.
      break;
    }
  }
  return batch;
}

/** A draft as the desk reads it. */
export function asSent({ id, seq, made, day, hour, at, by, line, kind, digest }) {
  return { id, seq, made, day, hour, at, by, line, kind, digest };
}

async function askedWithin(ms, address, options) {
  const stop = new AbortController();
  const timer = setTimeout(() => stop.abort(), ms);
  try {
    const reply = await fetch(address, { ...options, signal: stop.signal, cache: "no-store" });
    // The body too has to arrive in time.
    return { status: reply.status, told: await reply.json().catch(() => null) };
  } finally {
    clearTimeout(timer);
  }
}

/** What stopped the sending, in words. */
class Stopped extends Error {}

function refusal({ status, told }) {
  return told?.says ?? `the desk answered ${status}`;
}

/**
 * Sends all that waits. `keep` holds it, `ask` fetches (an address and options within so many milliseconds), and
 * `changed` is told after each step. Gives null when all is sent, else why not, in words.
 */
export async function sendAll(keep, changed, ask = askedWithin) {
  let most = MOST_BATCH;
  let tokens = 0;
  const stays = async (draft, why) => {
    await keep.mark([{ ...draft, state: "stays", why }]);
    await changed();
  };
  const posted = async (ms, address, kind, body) => {
    const token = (await keep.value("token")) ?? "";
    const headers = { "Content-Type": kind, "X-Token": token };
    const reply = await ask(ms, address, { method: "POST", headers, body });
    if (reply.status === 403 && reply.told?.stale && tokens < 3) {
      tokens += 1;
      await fetchPack(keep, ask, false);
      return posted(ms, address, kind, body);
    }
    return reply;
  };
  try {
    for (;;) {
      const waiting = (await keep.drafts()).filter((draft) => draft.state === "waiting");
      if (waiting.length === 0) {
        return null;
      }
      const batch = nextBatch(waiting, most);
      const attached = batch.at(-1);
      if (attached.digest && !attached.brought) {
        const blob = await keep.blob(attached.digest);
        if (!blob) {
          // The browser gave it up; the note still says that there was one.
          await keep.mark([{ ...attached, brought: true, lost: true }]);
          continue;
        }
        const address = `/field/attach?digest=${attached.digest}`;
        const reply = await posted(BLOB_WITHIN_MS, address, "application/octet-stream", blob);
        if (reply.status === 413) {
          await stays(attached, refusal(reply));
          continue;
        }
        if (reply.status !== 200 || reply.told?.digest !== attached.digest) {
          throw new Stopped(refusal(reply));
        }
        await keep.mark([{ ...attached, brought: true }]);
        continue;
      }
      const body = JSON.stringify({ drafts: batch.map(asSent) });
      const reply = await posted(ANSWER_WITHIN_MS, "/field/send", "application/json", body);
      if (reply.status === 413 || reply.status === 422) {
        // One of them is at fault; it is found by sending fewer.
        if (batch.length === 1) {
          await stays(batch[0], refusal(reply));
        } else {
          most = Math.ceil(batch.length / 2);
        }
        continue;
      }
      if (reply.status !== 200 || !Array.isArray(reply.told?.drafts)) {
        throw new Stopped(refusal(reply));
      }
      const answers = new Map(reply.told.drafts.map((answer) => [answer.id, answer]));
      const marked = batch.filter((draft) => answers.has(draft.id)).map((draft) => {
        const { became, handle, text, remarks, why } = answers.get(draft.id);
        const state = became === "stays" ? "stays" : "sent";
        return { ...draft, state, became, handle, text, remarks, why };
      });
      if (marked.length === 0) {
        throw new Stopped("the desk answered for none of the notes");
      }
      await keep.mark(marked);
      await changed();
    }
  } catch (error) {
    if (error instanceof Stopped) {
      return error.message;
    }
    if (error?.name === "AbortError") {
      return "the desk did not answer in time";
    }
    if (error instanceof TypeError) {
      return "there is no way to the desk";
    }
    throw error;
  }
}

/** Fetches what is known of the hives, and the token; the map is taken over only where nothing waits. */
export async function fetchPack(keep, ask = askedWithin, takeOver = true) {
  const yards = (await keep.value("yards")) ?? [];
  const address = `/field/pack.json${yards.length > 0 ? `?yards=${encodeURIComponent(yards.join(","))}` : ""}`;
  const reply = await ask(ANSWER_WITHIN_MS, address, {});
  if (reply.status !== 200 || !Array.isArray(reply.told?.hives)) {
    throw new Stopped(refusal(reply));
  }
  const { token, ...pack } = reply.told;
  await keep.setValue("token", token);
  const waits = (await keep.drafts()).some((draft) => draft.state === "waiting");
  if (takeOver && !waits) {
    await keep.setValue("pack", pack);
    return pack;
  }
  return null;
}

/** The notes as a text file that the desk takes in; each with its id, so that it comes in once. */
export function asText(drafts, now) {
  const word = (text) => (text ? text : "-");
  const lines = drafts.flatMap(({ id, seq, day, hour, at, by, line }) => [
    `#= field ${id} ${seq} ${day} ${word(hour)} ${word(at)} ${word(by)}`,
    line,
  ]);
  return [`# notes from the field, ${drafts.length}, given out ${now.day} ${now.hour}`, ...lines, ""].join("\n");
}
