// ipywidgets gives a slider no name and knows no live regions. This tells screen readers what the eye sees;
// it changes nothing that is shown, and a card works without it.
(() => {
  const here = document.currentScript;
  const card = here && here.closest(".pc");
  if (!card) return;
  const put = (element, name, value) => {
    if (element.getAttribute(name) !== value) element.setAttribute(name, value);
  };
  const label = () => {
    for (const region of card.querySelectorAll(".pc-live")) {
      put(region, "role", "status");
      put(region, "aria-live", "polite");
    }
    for (const slider of card.querySelectorAll(".widget-slider")) {
      const handle = slider.querySelector(".noUi-handle");
      const words = slider.querySelector(".widget-label");
      if (handle && words) put(handle, "aria-label", words.textContent);
    }
    for (const area of card.querySelectorAll("textarea")) put(area, "spellcheck", "false");
    const title = card.querySelector("h3");
    put(card, "role", "group");
    if (title) put(card, "aria-label", title.textContent);
  };
  card.addEventListener("click", (event) => {
    const mark = event.target.closest("[data-pick]");
    const list = mark && mark.closest(".pc").querySelector("select");
    if (!list) return;
    list.selectedIndex = Number(mark.dataset.pick);
    list.dispatchEvent(new Event("change", { bubbles: true }));
  });
  // JupyterLab has commands on single letters and arrows: on a button two of d would delete the cell, in a list they
  // choose a line. Its commands with Ctrl or Alt stay.
  const keepKeys = (event) => {
    const plain = !(event.ctrlKey || event.metaKey || event.altKey);
    if (event.target instanceof Element && event.target.closest(".pc")) {
      event.target.toggleAttribute("data-lm-suppress-shortcuts", plain);
    }
  };
  if (!window.pcKeepsKeys) {
    window.pcKeepsKeys = true;
    window.addEventListener("keydown", keepKeys, true); // before JupyterLab, which listens at the document
  }
  label();
  // Parts of a card come late, and get their class names later still.
  new MutationObserver(label).observe(card, { childList: true, subtree: true, attributeFilter: ["class"] });
})();
