// Common loads fill in their typical figures; a circuit can be added without leaving the page.
"use strict";
(() => {
  const rows = document.getElementById("rows");
  const more = document.getElementById("more");
  const loads = new Map([...document.querySelectorAll("#loads option")].map((one) => [one.value, one.dataset]));
  if (!rows || !more) return;
  rows.addEventListener("input", (event) => {
    if (event.target.name !== "circuit") return;
    const load = loads.get(event.target.value);
    if (!load) return;
    const row = event.target.closest(".row");
    for (const name of ["breaker", "poles", "running", "starting"]) {
      row.querySelector(`[name=${name}]`).value = load[name];
    }
  });
  more.addEventListener("click", (event) => {
    event.preventDefault();
    const fresh = rows.lastElementChild.cloneNode(true);
    fresh.querySelectorAll(".fault").forEach((one) => one.remove());
    fresh.querySelectorAll("input").forEach((one) => { one.value = one.name === "breaker" ? "20" : ""; });
    fresh.querySelector("select").value = "1";
    rows.append(fresh);
    fresh.querySelector("input").focus();
  });
})();
