// A link that ends in &run opens a notebook and runs it, so that a learner sees cards and pictures, not code to start.
(async () => {
  if (!new URL(window.location.href).searchParams.has("run")) return;
  const pause = () => new Promise((resume) => setTimeout(resume, 50));
  while (!window.jupyterapp) await pause();
  const app = window.jupyterapp;
  await app.restored;
  while (!app.shell.currentWidget?.sessionContext) await pause();
  const panel = app.shell.currentWidget;
  await panel.sessionContext.ready;
  app.commands.execute("notebook:run-all-cells");
  await pause(); // JupyterLab goes to the last cell; a reader begins with the first
  panel.content.activeCellIndex = 0;
  await panel.content.scrollToItem(0);
})();
