// theme.js - light, dark, as the device says, or the one for full daylight.

/** @typedef {"auto"|"light"|"dark"|"sun"} Theme */
const key = "stanch-theme";
const dark = matchMedia("(prefers-color-scheme: dark)");

/** @returns {Theme} */
export function theme() {
  try {
    const t = localStorage.getItem(key);
    return t === "light" || t === "dark" || t === "sun" ? t : "auto";
  } catch {
    return "auto";
  }
}

export function applyTheme() {
  const t = theme();
  document.documentElement.dataset.theme = t === "auto" ? (dark.matches ? "dark" : "light") : t;
}

/** @param {Theme} t */
export function setTheme(t) {
  try {
    localStorage.setItem(key, t);
  } catch {
    // No storage: it holds until the window is closed.
    document.documentElement.dataset.theme = t;
    return;
  }
  applyTheme();
}

dark.addEventListener("change", applyTheme);
