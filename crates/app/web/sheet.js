// Keeps the sheet of this phone in step with the others, and its screen awake. Without this
// script, loading the page again does the same.
"use strict";
(() => {
  const main = document.getElementById("main");
  const sheet = () => document.getElementById("sheet");
  if (!main || !sheet()) return;

  const busy = () => {
    const field = document.activeElement;
    return !!field && field.matches("input, select, textarea") && field.closest("#sheet") !== null && field.value !== "";
  };

  const swap = async () => {
    const answer = await fetch(sheet().dataset.part, { credentials: "same-origin" });
    if (!answer.ok) return;
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const next = page.getElementById("sheet");
    if (!next) return;
    const task = (of) => of.querySelector("#task");
    // What is being typed stays while the same is asked.
    if (busy() && task(next).dataset.task === task(sheet()).dataset.task) {
      const others = next.querySelector("#others");
      const own = sheet().querySelector("#others");
      if (others && own) own.replaceWith(others);
      sheet().dataset.version = next.dataset.version;
      return;
    }
    sheet().replaceWith(next);
  };

  const look = async () => {
    try {
      if (document.visibilityState === "visible") {
        const answer = await fetch(sheet().dataset.ask, { credentials: "same-origin" });
        if (answer.ok && (await answer.text()).trim() !== sheet().dataset.version) await swap();
      }
    } catch {
      // No answer: the next look tries again.
    }
    setTimeout(look, 600);
  };
  setTimeout(look, 600);

  // A form is sent once; the server keeps a second one out all the same.
  main.addEventListener("submit", (event) => {
    if (event.target.dataset.sent) event.preventDefault();
    event.target.dataset.sent = "1";
    setTimeout(() => delete event.target.dataset.sent, 3000);
  });

  const awake = async () => {
    try {
      if (navigator.wakeLock && document.visibilityState === "visible") await navigator.wakeLock.request("screen");
    } catch {
      // The screen goes dark as it would without.
    }
  };
  awake();
  document.addEventListener("visibilitychange", awake);
})();
