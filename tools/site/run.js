// A link that ends in &run opens a notebook and runs it, so that a learner sees cards and pictures, not code to start.
(async () => {
  if (!new URL(window.location.href).searchParams.has("run")) return;
  const pause = () => new Promise((resume) => setTimeout(resume, 50));
  while (!window.jupyterapp) await pause();
  const app = window.jupyterapp;
  await app.restored;
  while (!app.shell.currentWidget?.sessionContext) await pause();
  await app.shell.currentWidget.sessionContext.ready;
  await app.commands.execute("notebook:run-all-cells");
})();
