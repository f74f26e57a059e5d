// As somebody types, the figures are worked out again and put in place. Without this script the
// button does the same.
"use strict";
(() => {
  const form = document.querySelector("form.change");
  const figures = document.getElementById("figures");
  if (!form || !figures) return;
  let waiting = 0;
  let asked = 0;

  const mark = () => {
    for (const field of form.querySelectorAll("[aria-invalid]")) field.removeAttribute("aria-invalid");
    for (const words of form.querySelectorAll("p.error")) words.remove();
    for (const problem of figures.querySelectorAll("[data-field]")) {
      const field = document.getElementById(problem.dataset.field);
      if (!field) continue;
      field.setAttribute("aria-invalid", "true");
      const words = document.createElement("p");
      words.className = "error";
      words.textContent = problem.querySelector("strong").textContent;
      field.after(words);
    }
  };

  const work = async () => {
    const mine = ++asked;
    const typed = new URLSearchParams(new FormData(form));
    try {
      const answer = await fetch(form.dataset.part + "?" + typed, { credentials: "same-origin" });
      if (!answer.ok || mine !== asked) return;
      const text = await answer.text();
      if (mine !== asked) return;
      const open = [...figures.querySelectorAll("section")].map((each) => !!each.querySelector("details[open]"));
      figures.innerHTML = text;
      figures.querySelectorAll("section").forEach((each, place) => {
        const details = each.querySelector("details");
        if (details && open[place]) details.open = true;
      });
      mark();
    } catch {
      // The server is gone for a moment; what is typed stays, and the button still works.
    }
  };

  form.addEventListener("input", () => {
    clearTimeout(waiting);
    waiting = setTimeout(work, 250);
  });
})();
