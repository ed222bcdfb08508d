// @ts-check
/** Light or dark, as the machine at the table is set. */

export function followTheme() {
  const dark = matchMedia("(prefers-color-scheme: dark)");
  const show = () => {
    document.documentElement.dataset["theme"] = dark.matches ? "dark" : "light";
  };
  dark.addEventListener("change", show);
  show();
}
