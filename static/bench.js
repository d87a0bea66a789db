// What a page cannot do by HTML and HTMX: a clock that ticks, a count that steps, a slider that tells
// its value, a long row that shows its open place, and a word when the connection fails. Every page works without it.
"use strict";

function tick() {
  for (const clock of document.querySelectorAll("time[data-since]")) {
    const minutes = Math.max(0, Math.floor((Date.now() - Date.parse(clock.dataset.since)) / 60000));
    clock.textContent = `${Math.floor(minutes / 60)}:${String(minutes % 60).padStart(2, "0")}`;
  }
}

// <div class="stepper"><button type="button" data-step="-1" hidden>…<input type="number">…
function step(button) {
  const input = button.closest(".stepper").querySelector("input");
  if (Number(button.dataset.step) > 0) input.stepUp();
  else input.stepDown();
  input.dispatchEvent(new Event("change", { bubbles: true }));
}

// On a phone the rows of places and sheets scroll inside themselves; the open one shall be in sight.
function showOpenOne(root) {
  for (const link of root.querySelectorAll(".places [aria-current], .sheets [aria-current]")) {
    link.parentElement.scrollLeft = link.offsetLeft - link.parentElement.offsetLeft - 48;
  }
}

// <input id="address" readonly> <button type="button" data-copy-from="address" data-copied="…" hidden>
function copy(button) {
  const field = document.getElementById(button.dataset.copyFrom);
  field.select();
  navigator.clipboard?.writeText(field.value).then(() => { button.textContent = button.dataset.copied; });
}

function prepare(root) {
  showOpenOne(root);
  for (const button of root.querySelectorAll("[data-step][hidden]")) button.hidden = false;
  if (navigator.clipboard) for (const button of root.querySelectorAll("[data-copy-from][hidden]")) button.hidden = false;
  tick();
}

// <input type="range" id="fans"> … <output for="fans" data-behind=" %">
function echo(slider) {
  const output = slider.id && document.querySelector(`output[for="${CSS.escape(slider.id)}"]`);
  if (output) output.textContent = slider.value + (output.dataset.behind || "");
}

function notThrough() {
  const words = document.getElementById("words");
  if (!words) return;
  const word = document.createElement("p");
  word.className = "word error";
  word.setAttribute("role", "alert");
  word.textContent = document.body.dataset.notThrough;
  words.replaceChildren(word);
  word.scrollIntoView({ block: "nearest" });
}

document.addEventListener("click", (event) => {
  const button = event.target.closest("[data-step]");
  if (button) step(button);
  const copies = event.target.closest("[data-copy-from]");
  if (copies) copy(copies);
});
document.addEventListener("input", (event) => {
  if (event.target.type === "range") echo(event.target);
});
for (const name of ["htmx:sendError", "htmx:responseError", "htmx:timeout"]) {
  document.addEventListener(name, notThrough);
}
document.addEventListener("htmx:load", (event) => prepare(event.target));
prepare(document);
setInterval(tick, 20000);
