// Elements of the page. Text is always text, never markup.
const SVG = "http://www.w3.org/2000/svg";

function filled(node, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === true) node.setAttribute(name, "");
    else if (value !== false && value !== null) node.setAttribute(name, String(value));
  }
  node.append(...children.flat().filter((child) => child !== null && child !== ""));
  return node;
}

/** Attributes with the value true have no value in HTML; those with false or null are omitted, as
 * are null children. */
export const element = (name, attributes = {}, ...children) =>
  filled(document.createElement(name), attributes, children);
export const svgElement = (name, attributes = {}, ...children) =>
  filled(document.createElementNS(SVG, name), attributes, children);

export const byId = (id) => document.getElementById(id);

export function button(text, onPress, attributes = {}) {
  const node = element("button", { type: "button", ...attributes }, text);
  node.addEventListener("click", onPress);
  return node;
}

export const list = (texts) =>
  element(
    "ul",
    {},
    texts.map((text) => element("li", {}, text)),
  );

/** A link if the address is a web address, else only the text. */
export function webLink(text, address) {
  const isWeb = /^https?:\/\//i.test(address);
  return isWeb ? element("a", { href: address, rel: "noopener noreferrer" }, text) : text;
}

/** A link to an address of the web or of mail; other texts, such as a name, only as text. */
export function contactLink(text) {
  const isMail = /^[\w.+-]+@[\w-]+(\.[\w-]+)+$/.test(text);
  return isMail ? element("a", { href: `mailto:${text}` }, text) : webLink(text, text);
}

/** A link to a file of the publication, if its name is plain; else only the text. */
export function localLink(text, name) {
  return /^[\w-][\w./-]*$/.test(name) ? element("a", { href: name }, text) : text;
}
