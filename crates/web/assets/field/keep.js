// What the phone keeps: drafts, pictures and spoken remarks, looks under way, the pack, and how the page is set.
// Each change is one write that happens as a whole or not at all.

const DRAWERS = ["drafts", "blobs", "looks", "values"];
const DATABASE = "combwright-field";

function asked(request) {
  return new Promise((done, failed) => {
    request.onsuccess = () => done(request.result);
    request.onerror = () => failed(request.error);
  });
}

async function inDatabase() {
  const opening = indexedDB.open(DATABASE, 1);
  opening.onupgradeneeded = () => DRAWERS.forEach((drawer) => opening.result.createObjectStore(drawer));
  const database = await asked(opening);
  return {
    lasting: true,
    async get(drawer, key) {
      return asked(database.transaction(drawer).objectStore(drawer).get(key));
    },
    async all(drawer) {
      return asked(database.transaction(drawer).objectStore(drawer).getAll());
    },
    write(changes) {
      const drawers = [...new Set(changes.map((change) => change.drawer))];
      return new Promise((done, failed) => {
        // The flash itself, not a promise of it: a battery may be pulled the next moment.
        const whole = database.transaction(drawers, "readwrite", { durability: "strict" });
        whole.oncomplete = () => done();
        whole.onabort = () => failed(whole.error);
        for (const { drawer, key, value } of changes) {
          const store = whole.objectStore(drawer);
          if (value === undefined) {
            store.delete(key);
          } else {
            store.put(value, key);
          }
        }
      });
    },
  };
}

/** Where there is no database: all words as one text, pictures and remarks in memory alone. */
function inStorage() {
  const blobs = new Map();
  let lasting = true;
  let all = { drafts: {}, looks: {}, values: {} };
  try {
    all = { ...all, ...JSON.parse(localStorage.getItem(DATABASE) ?? "{}") };
    localStorage.setItem(DATABASE, JSON.stringify(all));
  } catch {
    lasting = false;
  }
  return {
    lasting,
    async get(drawer, key) {
      return drawer === "blobs" ? blobs.get(key) : all[drawer][key];
    },
    async all(drawer) {
      return drawer === "blobs" ? [...blobs.values()] : Object.values(all[drawer]);
    },
    async write(changes) {
      for (const { drawer, key, value } of changes) {
        if (drawer === "blobs") {
          blobs.set(key, value);
        } else if (value === undefined) {
          delete all[drawer][key];
        } else {
          all[drawer][key] = value;
        }
      }
      if (lasting) {
        localStorage.setItem(DATABASE, JSON.stringify(all));
      }
    },
  };
}

/** Opens what the phone keeps; `lasting` says whether it outlives the page. */
export async function openKeep() {
  let under;
  try {
    under = await inDatabase();
  } catch {
    under = inStorage();
  }
  let last = (await under.get("values", "seq")) ?? 0;

  const numbered = (drafts) =>
    drafts.map((draft) => {
      last += 1;
      return { state: "waiting", ...draft, seq: last };
    });
  const asChanges = (drafts) => [
    ...drafts.map((draft) => ({ drawer: "drafts", key: draft.id, value: draft })),
    { drawer: "values", key: "seq", value: last },
  ];

  return {
    lasting: under.lasting,
    value: (name) => under.get("values", name),
    setValue: (name, value) => under.write([{ drawer: "values", key: name, value }]),
    async drafts() {
      const all = await under.all("drafts");
      return all.sort((one, next) => one.seq - next.seq || (one.id < next.id ? -1 : 1));
    },
    /** New drafts, numbered, with what is kept or given up in the same moment. */
    add: (drafts, others = []) => under.write([...asChanges(numbered(drafts)), ...others]),
    mark: (drafts) =>
      under.write(drafts.map((draft) => ({ drawer: "drafts", key: draft.id, value: draft }))),
    forget: (ids) => under.write(ids.map((key) => ({ drawer: "drafts", key, value: undefined }))),
    looks: () => under.all("looks"),
    putLook: (under_way) => under.write([{ drawer: "looks", key: under_way.look.hive, value: under_way }]),
    /** A look is closed: its drafts, the map as it now is, and the look itself, all at once. */
    closeLook: (hive, drafts, pack) =>
      under.write([
        ...asChanges(numbered(drafts)),
        { drawer: "looks", key: hive, value: undefined },
        { drawer: "values", key: "pack", value: pack },
      ]),
    dropLook: (hive) => under.write([{ drawer: "looks", key: hive, value: undefined }]),
    blob: (digest) => under.get("blobs", digest),
    blobChange: (digest, value) => ({ drawer: "blobs", key: digest, value }),
  };
}
