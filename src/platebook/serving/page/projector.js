// Shows one part of the page at a time, and the page anew when the logbook has changed.
"use strict";
(() => {
  const TURN_MS = 20000;
  const ASK_MS = 2000;
  const KEPT = "platebook-part";
  const parts = [...document.querySelectorAll(".part")];
  const state = document.getElementById("state");
  let shown = Math.min(Number(sessionStorage.getItem(KEPT)) || 0, parts.length - 1);
  let held = false;
  let trouble = "";
  let turned = Date.now();

  // What does not fit is set smaller, down to half, and can be scrolled beyond that.
  const fit = () => {
    const root = document.documentElement;
    root.style.fontSize = "";
    const usual = parseFloat(getComputedStyle(root).fontSize);
    const small = () => root.scrollHeight <= innerHeight && root.scrollWidth <= innerWidth;
    for (let size = usual; !small() && size > usual / 2; size *= 0.96) {
      root.style.fontSize = `${size * 0.96}px`;
    }
  };

  const say = () => {
    const turns = parts.length > 1
      ? `${shown + 1} of ${parts.length} · ← → turn · space ${held ? "goes on" : "holds"}` : "";
    state.textContent = trouble || turns;
  };

  const show = (number) => {
    shown = (number + parts.length) % parts.length;
    sessionStorage.setItem(KEPT, String(shown));
    turned = Date.now();
    parts.forEach((part, n) => part.classList.toggle("shown", n === shown));
    say();
    fit();
  };

  const ask = async () => {
    try {
      const answer = await fetch("/mark", {cache: "no-store"});
      if (!answer.ok) throw new Error(String(answer.status));
      const [mark, sentence] = (await answer.text()).split("\n");
      trouble = sentence;
      if (mark !== document.body.dataset.mark) {
        location.reload();
        return;
      }
    } catch {
      trouble = "platebook serve does not answer any more: this is how it last was.";
    }
    say();
    setTimeout(ask, ASK_MS);
  };

  document.body.classList.add("turning");
  document.addEventListener("keydown", (event) => {
    if (event.key === "ArrowRight" || event.key === "PageDown") show(shown + 1);
    else if (event.key === "ArrowLeft" || event.key === "PageUp") show(shown - 1);
    else if (event.key === " ") { held = !held; turned = Date.now(); say(); }
    else return;
    event.preventDefault();
  });
  document.addEventListener("click", () => show(shown + 1));
  addEventListener("resize", fit);
  setInterval(() => {
    if (!held && parts.length > 1 && Date.now() - turned >= TURN_MS) show(shown + 1);
  }, 500);
  show(shown);
  setTimeout(ask, ASK_MS);
})();
