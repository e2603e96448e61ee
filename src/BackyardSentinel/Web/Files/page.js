// Comfort only: every page works without it. A page that is looked at again after a while is loaded anew.
"use strict";
let hiddenAt = 0;
document.addEventListener("visibilitychange", () => {
  if (document.hidden) {
    hiddenAt = Date.now();
  } else if (hiddenAt > 0 && Date.now() - hiddenAt > 60000 && !document.querySelector("form :focus")) {
    location.reload();
  }
});
