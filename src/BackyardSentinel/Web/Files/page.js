// Comfort only: every page works without it. When something new has been judged the page is asked for again and put in place.
"use strict";
const isWriting = () => document.querySelector("main form :focus, #finger:focus") !== null || document.body.dataset.touched === "yes";
document.addEventListener("input", (event) => {
  if (event.target.id === "finger") {
    tell(Number(event.target.value));
  } else {
    document.body.dataset.touched = "yes";
  }
});

// Links and the like are the same before and after when they lead to the same place, or say the same.
const nameOf = (one) => one.getAttribute("href") ?? one.textContent;
const alike = (one) => [...document.querySelectorAll(one.localName)].filter((other) => nameOf(other) === nameOf(one));

async function renew() {
  if (isWriting() || document.hidden) {
    return;
  }
  const answer = await fetch(location.href, { headers: { Accept: "text/html" } });
  if (!answer.ok) {
    return;
  }
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  // Whoever goes by keyboard stays where they were.
  const at = document.activeElement;
  const place = alike(at).indexOf(at);
  for (const part of ["main", ".contents", ".head"]) {
    const [here, there] = [document.querySelector(part), page.querySelector(part)];
    const open = [...here?.querySelectorAll("details") ?? []].map((one) => one.open);
    if (here && there) {
      here.replaceChildren(...there.childNodes);
      here.querySelectorAll("details").forEach((one, i) => { one.open = open[i] ?? false; });
    }
  }
  alike(at)[place]?.focus({ preventScroll: true });
  ready();
}

// The values of a moment of the weather's drawing, from the table beneath it: by finger, by mouse, or by the arrow keys of the slider.
const keyOf = (row) => `${row.dataset.day}, ${row.cells[0].textContent.trim()}`;
let told = null;
const rows = () => [...document.querySelectorAll(".figures tr[data-x]")];

function tell(index) {
  const [row, finger, strip] = [rows()[index], document.querySelector(".finger"), document.querySelector(".plot .strip")];
  if (!row || !finger || !strip) {
    return;
  }
  const [from, temperature, humidity, rain, wet] = [...row.cells].map((cell) => cell.textContent.trim());
  const values = { day: row.dataset.day, from, temperature, humidity, rain, wet };
  finger.querySelector("output").textContent = finger.dataset.pattern.replace(/\{(\w+)\}/g, (hole, name) => values[name] ?? hole);
  const slider = finger.querySelector("input");
  slider.value = index;
  told = keyOf(row);
  slider.setAttribute("aria-valuetext", told);
  const line = strip.querySelector(".at") ?? strip.appendChild(document.createElementNS(strip.namespaceURI, "line"));
  const height = strip.getAttribute("height");
  Object.entries({ class: "at", x1: `${row.dataset.x}%`, x2: `${row.dataset.x}%`, y1: 36, y2: height }).forEach(([name, value]) => line.setAttribute(name, value));
}

function point(event) {
  const strip = event.target.closest?.(".plot .strip");
  if (!strip || (event.type === "pointermove" && event.pointerType !== "mouse" && event.buttons === 0)) {
    return;
  }
  const box = strip.getBoundingClientRect();
  const at = (event.clientX - box.left) / box.width * 100;
  tell(Math.max(0, rows().findLastIndex((row) => Number(row.dataset.x) <= at)));
}

function ready() {
  const finger = document.querySelector(".finger");
  if (finger && rows().length > 0) {
    finger.hidden = false;
    finger.querySelector("input").max = rows().length - 1;
    finger.querySelector("input").value = rows().length - 1;
    tell(rows().findIndex((row) => keyOf(row) === told));
  }
}

document.addEventListener("pointerdown", point);
document.addEventListener("pointermove", point);
ready();

if (document.querySelector(".contents")) {
  const changes = new EventSource("/api/changes");
  changes.addEventListener("changed", renew);
  document.addEventListener("visibilitychange", renew);
}
