// Two comforts on pages that do without them: the note of a form is shown while the form is being filled in,
// and a form is not sent twice by pressing twice. The server writes nothing that it has not shown, and nothing
// twice, whatever happens here.

const PAUSE_MS = 400;
const GUARD_MS = 3000;

for (const form of document.querySelectorAll("form[data-preview]")) {
  watch(form);
}
for (const form of document.querySelectorAll("form[method=post]")) {
  guard(form);
}

// A code that stands behind the # of the address was never sent anywhere; it goes where it belongs, and out of
// the address.
const code = document.querySelector("input[name=code]");
if (code && location.hash.length > 1) {
  code.value = location.hash.slice(1);
  history.replaceState(null, "", location.pathname);
}

function guard(form) {
  const release = () => {
    delete form.dataset.sent;
    form.querySelectorAll("button").forEach((button) => button.removeAttribute("aria-disabled"));
  };
  form.addEventListener("submit", (event) => {
    if (form.dataset.sent) {
      event.preventDefault();
      return;
    }
    form.dataset.sent = "yes";
    // Not truly disabled: a disabled button would lose the focus, and its value would not be sent.
    form.querySelectorAll("button").forEach((button) => button.setAttribute("aria-disabled", "true"));
    setTimeout(release, GUARD_MS);
  });
  // A page that the back button brings out of memory is as it was left.
  window.addEventListener("pageshow", release);
}

function watch(form) {
  const left = new Set();
  let timer;
  let asking;
  const ask = async () => {
    asking?.abort();
    const mine = new AbortController();
    asking = mine;
    const answer = await preview(form, mine.signal);
    if (!mine.signal.aborted) {
      show(form, answer, left);
    }
  };
  const soon = () => {
    clearTimeout(timer);
    timer = setTimeout(ask, PAUSE_MS);
  };
  form.addEventListener("input", soon);
  form.addEventListener("change", (event) => {
    left.add(event.target.name);
    soon();
  });
  const filled = controls(form).some((control) => control.type !== "checkbox" && control.value !== "");
  if (filled && !form.querySelector("output.shown").textContent.trim()) {
    soon();
  }
}

const NOTHING = { lines: [], remarks: [], wrong: {}, says: [] };

async function preview(form, signal) {
  const body = new URLSearchParams();
  for (const [key, value] of new FormData(form)) {
    if (typeof value === "string") {
      body.append(key, value);
    }
  }
  const headers = { Accept: "application/json", "X-Token": body.get("token") ?? "" };
  try {
    const reply = await fetch(form.dataset.preview, { method: "POST", body, headers, signal });
    return reply.ok ? { ...NOTHING, ...(await reply.json()) } : NOTHING;
  } catch {
    return NOTHING;
  }
}

function show(form, { lines, remarks, wrong, says }, left) {
  const parts = [];
  if (lines.length > 0) {
    parts.push(
      element("span", "lead", lines.length === 1 ? "This note will be written:" : "These notes will be written:"),
      ...lines.map((line) => element("code", "note", line)),
    );
  }
  parts.push(...[...remarks, ...says].map((text) => element("span", "remark", text)));
  const output = form.querySelector("output.shown");
  const text = parts.map((part) => part.textContent).join(" ");
  // What is already there is not put there again, or it would be read out again.
  if (output.textContent.trim() !== text) {
    output.replaceChildren(...parts.flatMap((part) => [part, " "]));
  }
  hidden(form, "shown").value = lines.join("\n");
  for (const control of controls(form)) {
    // An empty field is wrong only once the reader has been there.
    const early = control.value === "" && !left.has(control.name);
    mark(control, early ? undefined : wrong[control.name]);
  }
  offerWriting(form, lines.some((line) => line !== "") && Object.keys(wrong).length === 0);
}

function mark(control, text) {
  const id = `${control.id}.wrong`;
  const described = new Set((control.getAttribute("aria-describedby") ?? "").split(" ").filter(Boolean));
  document.getElementById(id)?.remove();
  described.delete(id);
  if (text === undefined) {
    control.removeAttribute("aria-invalid");
  } else {
    const message = element("p", "wrong", `Wrong: ${text}`);
    message.id = id;
    control.closest(".field").querySelector("label").after(message);
    control.setAttribute("aria-invalid", "true");
    described.add(id);
  }
  if (described.size > 0) {
    control.setAttribute("aria-describedby", [...described].join(" "));
  } else {
    control.removeAttribute("aria-describedby");
  }
}

function offerWriting(form, ready) {
  const there = form.querySelector("button[name=press][value=write]");
  if (ready && !there) {
    const button = element("button", "made", "Write it");
    Object.assign(button, { type: "submit", name: "press", value: "write" });
    form.querySelector(".buttons").prepend(button);
  } else if (!ready && there?.classList.contains("made")) {
    there.remove();
  }
}

function controls(form) {
  return [...form.querySelectorAll(".field input, .field select, .field textarea")];
}

function hidden(form, name) {
  const there = form.querySelector(`input[type=hidden][name=${name}]`);
  if (there) {
    return there;
  }
  const input = element("input", "", "");
  Object.assign(input, { type: "hidden", name });
  form.prepend(input);
  return input;
}

function element(name, className, text) {
  const made = document.createElement(name);
  made.className = className;
  made.textContent = text;
  return made;
}
