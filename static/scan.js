// Reads a code with the camera where the browser can: every field with data-scan gets a button that fills it.
// <input data-scan="Scan a label" data-scan-stop="Stop" data-scan-no="…">; data-scan-adds: a line more each time;
// data-scan-sends: the form is sent at once. Typing works always, and a hand scanner types.
"use strict";

const LOOK_EVERY = 150;

function fill(field, text) {
  if ("scanAdds" in field.dataset && field.value.trim()) field.value = `${field.value.trim()}\n${text}`;
  else field.value = text;
  field.dispatchEvent(new Event("input", { bubbles: true }));
  field.dispatchEvent(new Event("change", { bubbles: true }));
  if ("scanSends" in field.dataset && field.form) field.form.requestSubmit();
  else field.focus();
}

async function scan(field) {
  let stream;
  try {
    stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment" } });
  } catch {
    field.placeholder = field.dataset.scanNo || "";
    field.focus();
    return;
  }
  const box = document.createElement("dialog");
  const video = document.createElement("video");
  const stop = document.createElement("button");
  box.className = "scan";
  box.setAttribute("aria-label", field.dataset.scan);
  video.muted = true;
  video.playsInline = true;
  video.srcObject = stream;
  stop.type = "button";
  stop.textContent = field.dataset.scanStop || "×";
  stop.addEventListener("click", () => box.close());
  box.append(video, stop);
  document.body.append(box);
  let looking = true;
  box.addEventListener("close", () => {
    looking = false;
    for (const track of stream.getTracks()) track.stop();
    box.remove();
  });
  box.showModal();
  video.play().catch(() => {});
  const detector = new BarcodeDetector();
  while (looking) {
    const found = await detector.detect(video).catch(() => []);
    if (looking && found.length) {
      box.close();
      fill(field, found[0].rawValue);
      return;
    }
    await new Promise((done) => setTimeout(done, LOOK_EVERY));
  }
}

function offer(root) {
  for (const field of root.querySelectorAll("[data-scan]:not([data-scan-offered])")) {
    field.dataset.scanOffered = "";
    const button = document.createElement("button");
    button.type = "button";
    button.className = "quiet";
    button.textContent = field.dataset.scan;
    button.addEventListener("click", () => scan(field));
    (field.closest("label") || field).after(button);
  }
}

// Some browsers know the name but no code: a camera that can never read is not offered.
async function reads() {
  if (!("BarcodeDetector" in window) || !navigator.mediaDevices) return false;
  return (await BarcodeDetector.getSupportedFormats().catch(() => [])).length > 0;
}

reads().then((can) => {
  if (!can) return;
  offer(document);
  document.addEventListener("htmx:load", (event) => offer(event.target));
});
