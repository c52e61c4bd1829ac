// The number beside a slider follows it, and the button is not needed any more.
"use strict";
(() => {
  const form = document.getElementById("sliders");
  if (!form) return;
  form.addEventListener("input", (event) => {
    const shown = event.target.closest("label")?.querySelector("strong");
    if (shown) shown.textContent = event.target.value;
  });
  form.querySelector("button").hidden = true;
})();
