// As somebody types, the figures are worked out again and put in place; on the apron plan the
// aeroplane can be moved and turned, which fills the fields of the form. Without this script the
// button and the fields do the same.
"use strict";
(() => {
  const form = document.querySelector("form.change");
  const figures = document.getElementById("figures");
  if (!form || !figures) return;
  let waiting = 0;
  let asked = 0;
  let moving = false;

  const mark = () => {
    for (const words of form.querySelectorAll("p.error")) words.remove();
    for (const field of form.querySelectorAll("[aria-invalid]")) {
      field.removeAttribute("aria-invalid");
      field.removeAttribute("aria-describedby");
    }
    for (const problem of figures.querySelectorAll("[data-field]")) {
      const field = document.getElementById(problem.dataset.field);
      if (!field) continue;
      const words = document.createElement("p");
      words.className = "error";
      words.id = field.id + "-error";
      words.textContent = problem.querySelector("strong").textContent;
      field.setAttribute("aria-invalid", "true");
      field.setAttribute("aria-describedby", words.id);
      field.after(words);
    }
  };

  // What moves the aeroplane, so that the keyboard stays where it was.
  const handles = () => [...figures.querySelectorAll(".mover, .moves button")];
  const focused = () => handles().indexOf(document.activeElement);

  // The new figures; a plan on which the aeroplane is being moved stays until it is let go.
  const put = (text) => {
    const open = [...figures.querySelectorAll("section")].map((each) => !!each.querySelector("details[open]"));
    const held = moving ? figures.querySelector(".movable") : null;
    const at = focused();
    figures.innerHTML = text;
    figures.querySelectorAll("section").forEach((each, place) => {
      const details = each.querySelector("details");
      if (details && open[place]) details.open = true;
    });
    const plan = figures.querySelector(".movable");
    if (held && plan) plan.replaceWith(held);
    else attach();
    if (at >= 0 && !held) handles()[at]?.focus({ preventScroll: true });
    mark();
    say();
  };

  // The token of the form is for recording alone.
  const typed = () => {
    const fields = new FormData(form);
    fields.delete("form-token");
    return new URLSearchParams(fields);
  };

  const work = async () => {
    const mine = ++asked;
    try {
      const answer = await fetch(form.dataset.part + "?" + typed(), { credentials: "same-origin" });
      if (!answer.ok || mine !== asked) return;
      const text = await answer.text();
      if (mine === asked) put(text);
    } catch {
      // The server is gone for a moment; what is typed stays, and the button still works.
    }
  };

  const soon = (wait) => {
    clearTimeout(waiting);
    waiting = setTimeout(work, wait);
  };

  form.addEventListener("input", () => soon(250));
  form.addEventListener("submit", (event) => {
    if (!event.submitter || event.submitter.formMethod !== "get") return;
    event.preventDefault();
    location.assign(event.submitter.formAction.split("?")[0] + "?" + typed());
  });

  // ---- The aeroplane on the apron plan. ----
  const STEP = 0.5; // metres
  const TURN = 5; // degrees
  let plan = null;

  const number = (value) => String(Math.round(value * 10) / 10);

  const say = () => {
    if (!plan) return;
    const tightest = figures.querySelector(".distances tbody tr");
    const words = tightest ? tightest.textContent.replace(/\s+/g, " ").trim() : "";
    plan.says.textContent = number(plan.east) + " east, " + number(plan.north) + " north, nose " + Math.round(plan.nose) + ". Tightest: " + words;
  };

  const show = () => {
    const { box, frame, mover } = plan;
    const x = frame.x + frame.width / 2 + (plan.east * plan.unit - plan.middle[0]) * plan.scale;
    const y = frame.y + frame.height / 2 - (plan.north * plan.unit - plan.middle[1]) * plan.scale;
    mover.style.left = (100 * x) / box.width + "%";
    mover.style.top = (100 * y) / box.height + "%";
    mover.style.transform = "translate(-50%, -50%) rotate(" + plan.nose + "deg)";
  };

  // Fills the fields as if they were typed, and shows it.
  const changed = () => {
    plan.nose = ((Math.round(plan.nose) % 360) + 360) % 360;
    document.getElementById("ground.at").value = number(plan.east) + ", " + number(plan.north);
    document.getElementById("ground.heading").value = plan.nose + " degT";
    show();
    say();
    soon(moving ? 60 : 250);
  };

  const go = (east, north, turn) => {
    plan.east += (east * STEP) / plan.unit;
    plan.north += (north * STEP) / plan.unit;
    plan.nose += turn * TURN;
    changed();
  };

  const KEYS = {
    ArrowLeft: [-1, 0, 0], ArrowRight: [1, 0, 0], ArrowUp: [0, 1, 0], ArrowDown: [0, -1, 0],
    PageUp: [0, 0, -1], PageDown: [0, 0, 1],
  };

  const make = (name, className, words) => {
    const element = document.createElement(name);
    element.className = className;
    if (words) element.textContent = words;
    return element;
  };

  const drag = (handle, moved) => {
    handle.addEventListener("pointerdown", (event) => {
      event.preventDefault();
      event.stopPropagation();
      handle.setPointerCapture(event.pointerId);
      plan.mover.focus();
      moving = true;
    });
    handle.addEventListener("pointermove", (event) => {
      if (!moving || !handle.hasPointerCapture(event.pointerId)) return;
      const rect = plan.svg.getBoundingClientRect();
      const step = plan.box.width / rect.width;
      moved((event.clientX - rect.left) * step, (event.clientY - rect.top) * step);
      changed();
    });
    const end = () => {
      if (!moving) return;
      moving = false;
      soon(0);
    };
    handle.addEventListener("pointerup", end);
    handle.addEventListener("pointercancel", end);
  };

  const place = (x, y) => [
    ((x - plan.frame.x - plan.frame.width / 2) / plan.scale + plan.middle[0]) / plan.unit,
    (plan.middle[1] - (y - plan.frame.y - plan.frame.height / 2) / plan.scale) / plan.unit,
  ];

  const attach = () => {
    plan = null;
    const whole = figures.querySelector(".movable");
    const svg = whole && whole.querySelector("svg");
    const paper = svg && svg.querySelector("[data-plan]");
    if (!paper || !document.getElementById("ground.at") || !document.getElementById("ground.heading")) return;
    const [scale, ...middle] = paper.dataset.plan.split(" ").map(Number);
    const side = (name) => Number(paper.getAttribute(name));
    const of = whole.dataset;
    const mover = make("div", "mover");
    mover.tabIndex = 0;
    mover.setAttribute("role", "group");
    mover.setAttribute("aria-label", "The aeroplane: arrow keys move it, Page Up and Page Down turn it");
    plan = {
      svg, mover, scale, middle,
      box: svg.viewBox.baseVal,
      frame: { x: side("x"), y: side("y"), width: side("width"), height: side("height") },
      east: Number(of.east), north: Number(of.north), nose: Number(of.nose), unit: Number(of.unit),
      says: make("p", "moved-to"),
    };
    const turner = make("div", "turner");
    mover.append(turner);
    const sheet = make("div", "plan");
    svg.before(sheet);
    sheet.append(svg, mover);
    const keys = make("div", "moves");
    keys.setAttribute("role", "group");
    keys.setAttribute("aria-label", "Move the aeroplane");
    for (const [words, by] of [["west", [-1, 0, 0]], ["east", [1, 0, 0]], ["north", [0, 1, 0]], ["south", [0, -1, 0]], ["turn left", [0, 0, -1]], ["turn right", [0, 0, 1]]]) {
      const button = make("button", "", words);
      button.type = "button";
      button.addEventListener("click", () => go(...by));
      keys.append(button);
    }
    sheet.after(plan.says, keys);
    drag(mover, (x, y) => { [plan.east, plan.north] = place(x, y); });
    drag(turner, (x, y) => {
      const [east, north] = place(x, y);
      plan.nose = (Math.atan2(east - plan.east, north - plan.north) * 180) / Math.PI;
    });
    mover.addEventListener("keydown", (event) => {
      const by = KEYS[event.key];
      if (!by) return;
      event.preventDefault();
      go(...by);
    });
    show();
    say();
  };

  attach();
})();
