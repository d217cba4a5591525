// Tells screen readers whether a drawer of the desk is open; the eye sees it.
(() => {
  const here = document.currentScript;
  const desk = here && here.closest(".pc");
  if (!desk) return;
  const tell = () => {
    for (const handle of desk.querySelectorAll("button.pc-handle")) {
      const open = String(handle.classList.contains("pc-out"));
      if (handle.getAttribute("aria-expanded") !== open) handle.setAttribute("aria-expanded", open);
    }
  };
  tell();
  new MutationObserver(tell).observe(desk, { childList: true, subtree: true, attributeFilter: ["class"] });
})();
