// The page of the field: what is open, what is kept, and when it is sent.

import { attached, barScreen, fitting } from "./bar.js";
import { openKeep } from "./keep.js";
import { hiveAfter, linesOf, newLook } from "./look.js";
import { measureScreen } from "./measure.js";
import { button, el, tell } from "./parts.js";
import { clock, hivesScreen, setScreen, waitingScreen, wordsScreen } from "./screens.js";
import { fetchPack, sendAll, waitAfter } from "./send.js";
import { freshId } from "./words.js";

/** How many sent drafts are still told of. */
const MOST_SENT = 200;

const SCREENS = {
  hives: hivesScreen, bar: barScreen, words: wordsScreen, waiting: waitingScreen, set: setScreen, measure: measureScreen,
};

class App {
  constructor(keep) {
    this.keep = keep;
    this.single = globalThis.combwrightSingle === true;
    this.screen = "hives";
    this.at = null;
    this.pack = null;
    this.looks = new Map();
    this.drafts = [];
    this.settings = { hand: "right", by: "", yards: [] };
    this.kept = "";
    // Whether the browser keeps the page; null until it has said so.
    this.works = null;
    this.failures = 0;
    this.now = clock;
  }

  async begin() {
    const held = document.getElementById("pack");
    const given = this.single ? JSON.parse(held.textContent) : null;
    const known = await this.keep.value("pack");
    // A file made later than the map that is kept brings a newer one.
    this.pack = !known || (given && `${given.day} ${given.hour}` > `${known.day} ${known.hour}`) ? given ?? known ?? null : known;
    Object.assign(this.settings, await this.keep.value("settings"));
    this.settings.yards = (await this.keep.value("yards")) ?? [];
    for (const under_way of await this.keep.looks()) {
      this.looks.set(under_way.look.hive, under_way);
    }
    await this.readDrafts();
    const open = await this.keep.value("open");
    if (open && this.looks.has(open)) {
      this.at = this.looks.get(open);
      this.screen = "bar";
    }
    this.dress();
    this.draw();
  }

  dress() {
    document.documentElement.dataset.hand = this.settings.hand;
  }

  async readDrafts() {
    const all = await this.keep.drafts();
    const sent = all.filter((draft) => draft.state === "sent");
    const old = sent.slice(0, Math.max(0, sent.length - MOST_SENT));
    if (old.length > 0) {
      await this.keep.forget(old.map((draft) => draft.id));
    }
    this.drafts = all.filter((draft) => !old.includes(draft));
  }

  draw() {
    SCREENS[this.screen](this);
  }

  /** Draws what came to pass by itself; never under a finger, or the tap would be lost. */
  drawUnasked() {
    if (this.pressed) {
      this.due = true;
    } else {
      this.due = false;
      this.draw();
    }
  }

  released() {
    this.pressed = false;
    // The click of this finger comes first.
    setTimeout(() => this.due && this.drawUnasked(), 50);
  }

  show(screen) {
    this.screen = screen;
    this.pasteable = null;
    this.draw();
    document.querySelector("header h1")?.scrollIntoView();
  }

  back() {
    this.show(this.at ? "bar" : "hives");
  }

  async openHive(name) {
    const map = this.pack.hives.find((hive) => hive.hive === name);
    const there = this.looks.get(name);
    this.at = there ?? { look: newLook(freshId(), map, this.now(), this.settings.by), map };
    this.show("bar");
    await this.keep.setValue("open", name);
  }

  /** Back to the hives; the look stays under way. */
  async leave() {
    this.at = null;
    this.show("hives");
    await this.keep.setValue("open", null);
  }

  /** One step of the look, on the screen at once and on the flash before the next. */
  step(look) {
    const under_way = { look, map: this.at.map };
    this.at = under_way;
    this.looks.set(look.hive, under_way);
    this.draw();
    this.writing = (this.writing ?? Promise.resolve())
      .then(() => this.keep.putLook(under_way))
      .catch((error) => this.notKept(error));
  }

  notKept(error) {
    this.trouble = `the phone could not keep the last step (${error?.message ?? error}); make room on it`;
    tell(this.trouble);
    this.draw();
  }

  draftsOf(lines) {
    return lines.map(({ line, now, at, kind, digest }) => ({
      id: freshId(), made: now.made, day: now.day, hour: now.hour, by: this.settings.by, line,
      at: at ?? undefined, kind: kind ?? "note", digest,
    }));
  }

  async addDrafts(lines, others = []) {
    try {
      await this.keep.add(this.draftsOf(lines), others);
    } catch (error) {
      this.notKept(error);
      return;
    }
    await this.readDrafts();
    this.send();
  }

  async closeLook() {
    const { look, map } = this.at;
    const hives = this.pack.hives.map((hive) => (hive.hive === look.hive ? hiveAfter(look, map) : hive));
    const pack = { ...this.pack, hives };
    await this.writing;
    try {
      await this.keep.closeLook(look.hive, this.draftsOf(linesOf(look, map)), pack);
    } catch (error) {
      this.notKept(error);
      return;
    }
    this.pack = pack;
    this.looks.delete(look.hive);
    await this.readDrafts();
    await this.leave();
    this.send();
  }

  async dropLook() {
    const { look } = this.at;
    await this.writing;
    await this.keep.dropLook(look.hive);
    this.looks.delete(look.hive);
    await this.leave();
  }

  async set(name, value) {
    this.settings[name] = value;
    const { hand, by } = this.settings;
    await this.keep.setValue("settings", { hand, by });
    this.dress();
    this.draw();
  }

  async setYards(yards) {
    this.settings.yards = yards;
    await this.keep.setValue("yards", yards);
    this.draw();
    await this.fetch();
  }

  async takePicture(file, what) {
    if (!file) {
      return;
    }
    try {
      const blob = await fitting(file);
      const now = this.now();
      const { digest, line } = await attached("photo", blob, what, now);
      await this.addDrafts([{ line, now, kind: "attachment", digest }], [this.keep.blobChange(digest, blob)]);
      tell("The picture is kept.");
      this.lastPicture = { digest, what, blob };
      this.draw();
    } catch (error) {
      tell(`The picture could not be kept: ${error?.message ?? error}`);
    }
  }

  /** What can be done with the picture that was just taken of a bar. */
  pictures(hive, place) {
    const what = `${hive} bar ${place}`;
    return this.lastPicture?.what === what
      ? [el("p", { class: "row" }, button("measure", "Measure the comb in the photo", () => this.show("measure")))]
      : [];
  }

  async speak(what) {
    if (this.speaking || this.askedToSpeak) {
      return;
    }
    this.askedToSpeak = true;
    try {
      const stream = await navigator.mediaDevices.getUserMedia({ audio: true });
      if (!this.askedToSpeak) {
        stream.getTracks().forEach((track) => track.stop());
        tell("Let go before it was listening: nothing was kept. Hold until the button says so.");
        return;
      }
      const recorder = new MediaRecorder(stream);
      const pieces = [];
      recorder.ondataavailable = (event) => pieces.push(event.data);
      recorder.onstop = () => {
        stream.getTracks().forEach((track) => track.stop());
        this.keepSpoken(new Blob(pieces, { type: recorder.mimeType }), what);
      };
      recorder.start();
      this.speaking = recorder;
      document.querySelector('[data-key="speak"]')?.classList.add("speaking");
      tell("Speaking.");
    } catch {
      this.askedToSpeak = false;
      tell("This browser gives the page no microphone. Words can be typed or dictated instead.");
    }
  }

  stopSpeaking() {
    this.askedToSpeak = false;
    this.speaking?.stop();
    this.speaking = null;
    document.querySelector('[data-key="speak"]')?.classList.remove("speaking");
  }

  async keepSpoken(blob, what) {
    if (blob.size === 0) {
      return;
    }
    const now = this.now();
    const { digest, line } = await attached("voice", blob, what, now);
    await this.addDrafts([{ line, now, kind: "attachment", digest }], [this.keep.blobChange(digest, blob)]);
    tell("The remark is kept.");
  }

  /** Sends what waits, and again after a while where that fails. Only one sends at a time. */
  async send() {
    if (this.single) {
      return;
    }
    if (this.sending) {
      this.more = true;
      return;
    }
    this.sending = true;
    clearTimeout(this.timer);
    const changed = async () => {
      await this.readDrafts();
      if (this.screen === "waiting" || this.screen === "hives") {
        this.drawUnasked();
      }
    };
    const why = await sendAll(this.keep, changed);
    this.sending = false;
    this.trouble = why;
    if (why === null) {
      this.failures = 0;
      await this.fetch();
    } else {
      this.failures += 1;
      this.timer = setTimeout(() => this.send(), waitAfter(this.failures));
    }
    await changed();
    if (this.more) {
      this.more = false;
      if (why === null) {
        await this.send();
      }
    }
  }

  /** Fetches the map where the desk is in reach; without it the one that is kept will do. */
  async fetch() {
    try {
      const pack = await fetchPack(this.keep);
      if (pack) {
        this.pack = pack;
        this.trouble = null;
        if (this.screen === "hives") {
          this.drawUnasked();
        }
      }
    } catch {
      // Out of reach: the map of the last time is shown with its day.
    }
  }

  async settle() {
    if (this.single) {
      this.kept = this.keep.lasting
        ? "This is the page in one file. Its notes are kept in this browser and come home as text."
        : "This is the page in one file. This browser keeps nothing for it: give the notes out as text before closing it.";
      return;
    }
    if (!("serviceWorker" in navigator) || !window.isSecureContext) {
      this.kept = "This browser does not keep the page at this address, so it opens only while the desk is in reach.";
      this.works = false;
      return;
    }
    try {
      await navigator.serviceWorker.register("/field/worker.js", { scope: "/field" });
      await navigator.serviceWorker.ready;
      this.works = true;
      const lasting = await navigator.storage?.persist?.();
      this.kept = lasting
        ? "The page and its notes are kept on this phone and work without a signal."
        : "The page and its notes are kept on this phone and work without a signal. The browser may clear them out if the phone runs full; put the page on the home screen to prevent that.";
    } catch (error) {
      this.kept = `The browser would not keep the page (${error?.message ?? error}); it opens only while the desk is in reach.`;
      this.works = false;
    }
    document.documentElement.dataset.kept = this.works ? "yes" : "no";
  }
}

async function open() {
  const app = new App(await openKeep());
  await app.begin();
  globalThis.addEventListener("online", () => app.send());
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") {
      app.send();
    }
  });
  // A remark ends where the finger is lifted, also beside the button that was drawn anew meanwhile.
  globalThis.addEventListener("pointerdown", () => { app.pressed = true; }, true);
  for (const end of ["pointerup", "pointercancel"]) {
    globalThis.addEventListener(end, () => {
      app.stopSpeaking();
      app.released();
    }, true);
  }
  await Promise.all([app.settle().then(() => ["hives", "waiting", "set"].includes(app.screen) && app.drawUnasked()), app.send()]);
}

open();
