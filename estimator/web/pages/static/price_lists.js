// Keys for the questions while one of them has the focus; progress without loading the page.
"use strict";
(() => {
  const list = document.querySelector(".questions-list");
  const buttons = list ? [...list.querySelectorAll(".yes")] : [];
  if (list) {
    list.addEventListener("keydown", (event) => {
      if (event.ctrlKey || event.metaKey || event.altKey) return;
      const at = buttons.findIndex((one) => one.closest("li").contains(event.target));
      if (at < 0) return;
      if (event.key === "y") buttons[at].click();
      if (event.key === "n") buttons[(at + 1) % buttons.length].focus();
    });
  }
  const progress = document.getElementById("progress");
  const ask = async () => {
    const place = progress.dataset.ask;
    if (!place) return;
    try {
      const answer = await fetch(place);
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      const fresh = page.getElementById("progress");
      if (answer.redirected || !fresh) {
        location.assign(answer.url);
        return;
      }
      if (!fresh.dataset.ask) {
        location.reload();
        return;
      }
      progress.lastElementChild.textContent = fresh.lastElementChild.textContent;
    } catch {
      // The service may be away for a moment: ask again.
    }
    setTimeout(ask, 1000);
  };
  if (progress) setTimeout(ask, 1000);
})();
