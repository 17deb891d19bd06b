// Where the browser allows it (TLS or localhost), the screen itself stays on the phone too.
export async function keepShell(root) {
  if (!("serviceWorker" in navigator) || !isSecureContext) return;
  try {
    await navigator.serviceWorker.register(root.dataset.worker, { scope: root.dataset.shell });
    const worker = (await navigator.serviceWorker.ready).active;
    const loaded = performance.getEntriesByType("resource").map((one) => one.name)
      .filter((name) => name.startsWith(`${location.origin}/static/`));
    worker.postMessage([new URL(root.dataset.shell, location.href).href, ...loaded]);
  } catch { /* then the check is whole for as long as this tab lives */ }
}
