/* Runs before the page is painted, so that a chosen theme never flashes. */
(() => {
  try {
    const theme = localStorage.getItem("theme");
    if (theme === "light" || theme === "dark") document.documentElement.dataset.theme = theme;
    if (localStorage.getItem("keys") === "off") document.documentElement.classList.add("keys-off");
  } catch {
    /* No storage allowed: the device's own theme stands. */
  }
})();
