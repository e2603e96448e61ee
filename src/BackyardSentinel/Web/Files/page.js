// Comfort only: every page works without it. When something new has been judged the page is asked for again and put in place.
"use strict";
const isWriting = () => document.querySelector("main form :focus") !== null || document.body.dataset.touched === "yes";
document.addEventListener("input", () => { document.body.dataset.touched = "yes"; });

async function renew() {
  if (isWriting() || document.hidden) {
    return;
  }
  const answer = await fetch(location.href, { headers: { Accept: "text/html" } });
  if (!answer.ok) {
    return;
  }
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  for (const part of ["main", ".contents", ".head"]) {
    const [here, there] = [document.querySelector(part), page.querySelector(part)];
    const open = [...here?.querySelectorAll("details") ?? []].map((one) => one.open);
    if (here && there) {
      here.replaceChildren(...there.childNodes);
      here.querySelectorAll("details").forEach((one, i) => { one.open = open[i] ?? false; });
    }
  }
}

if (document.querySelector(".contents")) {
  const changes = new EventSource("/api/changes");
  changes.addEventListener("changed", renew);
  document.addEventListener("visibilitychange", renew);
}
