/** Keeps the page for use without a network, where the browser can: over HTTPS or on this machine. */
export async function keepForOffline(): Promise<void> {
  if (!('serviceWorker' in navigator) || !import.meta.env.PROD) return;
  try {
    await navigator.serviceWorker.register('./service-worker.js');
  } catch {
    // Forbidden by the user's settings: then the page needs its host each time, as any page does.
  }
}
