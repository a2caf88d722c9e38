// Finds what a person would point at: arguments are the part of the page (a CSS selector), the kind of thing, its name.
// Returns the elements of that name, and all names of that kind for the message when there is not exactly one. A field to fill has the focus then, and what
// stands in it is selected.
const [part, kind, wanted] = arguments;
const FIELD = "input:not([type=radio]):not([type=checkbox]):not([type=file]), textarea";
const KINDS = {
  press:
    "a[href], button, summary, label, input[type=button], input[type=submit], " +
    "[role=button], [role=link], [role=tab], [role=radio], [role=checkbox], [role=switch]",
  field: FIELD,
  "field to fill": FIELD,
  list: "select",
  file: "input[type=file]",
};
const tidy = (text) => (text ?? "").replace(/\s+/g, " ").trim();
const named = (element) => {
  const label = element.getAttribute("aria-label");
  if (label) return tidy(label);
  const by = element.getAttribute("aria-labelledby");
  if (by) return tidy(by.split(/\s+/).map((id) => document.getElementById(id)?.innerText).join(" "));
  if (element.labels?.length) return tidy([...element.labels].map((label) => label.innerText).join(" "));
  return tidy(element.innerText || element.value);
};
const here = (element) => kind === "file" || element.checkVisibility({ visibilityProperty: true });
const all = [...document.querySelectorAll(part)].flatMap((root) => [...root.querySelectorAll(KINDS[kind])].filter(here));
const found = all.filter((element) => named(element) === tidy(wanted));
found[0]?.scrollIntoView({ block: "center" });
if (kind === "field to fill" && found.length === 1) {
  found[0].focus();
  found[0].select();
}
return { found, names: found.length === 1 ? [] : all.map(named) };
