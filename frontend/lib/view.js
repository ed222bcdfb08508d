// @ts-check
/**
 * What an element shows, said as a tree and painted with the fewest changes.
 *
 * `h()` names a node, `paint()` makes the page match. Nodes that stay keep their identity, so focus, scroll and the
 * screen reader's place survive every repaint. Text is always text: nothing here reads markup, so nothing needs
 * escaping. Refuses styles, which the page's policy would block; classes and data attributes carry all looks.
 *
 * Props: `onclick` and the like listen; `.value` sets a property; `key` keeps a node's identity when its place
 * changes; everything else is an attribute (true is an empty one, null and false are none).
 *
 * @typedef {{ tag: string, props: Record<string, unknown>, children: Twig[], key: string | undefined }} Branch
 * @typedef {Branch | string | null} Twig
 * @typedef {Twig | number | false | undefined | readonly Child[]} Child
 */

const SVG = "http://www.w3.org/2000/svg";
const SVG_TAGS = new Set(["svg", "path", "circle", "text", "g"]);

/** @type {WeakMap<Node, Branch>} what each node was painted from */
const painted = new WeakMap();
/** @type {WeakMap<EventTarget, Map<string, (event: any) => void>>} */
const listening = new WeakMap();

/**
 * @param {string} tag
 * @param {Record<string, unknown> | null} [props]
 * @param {...unknown} children text, numbers, branches, lists of them; null and false leave a hole that keeps its place
 * @returns {Branch}
 */
export function h(tag, props, ...children) {
  const key = props?.key;
  return {
    tag,
    props: props ?? {},
    children: flat(/** @type {Child[]} */ (children)),
    key: key === undefined ? undefined : String(key),
  };
}

/**
 * Make the children of a node match.
 * @param {Node} parent
 * @param {...Child} children
 */
export function paint(parent, ...children) {
  paintChildren(parent, flat(children));
}

/** @param {readonly Child[]} children @returns {Twig[]} */
function flat(children) {
  /** @type {Twig[]} */
  const twigs = [];
  for (const child of children) {
    if (Array.isArray(child)) twigs.push(...flat(child));
    else if (child === null || child === undefined || child === false) twigs.push(null);
    else twigs.push(typeof child === "number" ? String(child) : /** @type {Twig} */ (child));
  }
  return twigs;
}

/** @param {Node} parent @param {readonly Twig[]} twigs */
function paintChildren(parent, twigs) {
  /** @type {Map<string, Node>} */
  const keyed = new Map();
  for (let node = parent.firstChild; node !== null; node = node.nextSibling) {
    const key = painted.get(node)?.key;
    if (key !== undefined) keyed.set(key, node);
  }
  /** @type {Node | null} */
  let at = parent.firstChild;
  for (const twig of twigs) {
    const key = isBranch(twig) ? twig.key : undefined;
    let node = key === undefined ? at : (keyed.get(key) ?? null);
    if (node !== null && !isSame(node, twig)) node = null;
    if (node === null) {
      node = parent.insertBefore(made(twig), at);
      // A hole that is filled, or left, keeps its one place: what follows is painted on the nodes it was.
      if (at !== null && isHole(at) !== (twig === null) && painted.get(at)?.key === undefined) {
        const next = at.nextSibling;
        parent.removeChild(at);
        at = next;
      }
    } else if (node === at) at = at.nextSibling;
    else parent.insertBefore(node, at);
    update(node, twig);
  }
  while (at !== null) {
    const next = at.nextSibling;
    parent.removeChild(at);
    at = next;
  }
}

/** @param {Twig} twig @returns {twig is Branch} */
function isBranch(twig) {
  return twig !== null && typeof twig === "object";
}

/** @param {Node} node */
function isHole(node) {
  return node.nodeType === Node.COMMENT_NODE;
}

/** @param {Node} node @param {Twig} twig */
function isSame(node, twig) {
  if (twig === null) return isHole(node);
  if (typeof twig === "string") return node.nodeType === Node.TEXT_NODE;
  const before = painted.get(node);
  if (before === undefined || before.tag !== twig.tag || before.key !== twig.key) return false;
  // A button that became another kind of button in the midst of a tap would do what that kind does.
  return before.props["type"] === twig.props["type"];
}

/** @param {Twig} twig @returns {Node} */
function made(twig) {
  if (twig === null) return document.createComment("");
  if (typeof twig === "string") return document.createTextNode(twig);
  return SVG_TAGS.has(twig.tag) ? document.createElementNS(SVG, twig.tag) : document.createElement(twig.tag);
}

/** @param {Node} node @param {Twig} twig */
function update(node, twig) {
  if (twig === null) return;
  if (typeof twig === "string") {
    if (node.nodeValue !== twig) node.nodeValue = twig;
    return;
  }
  if (painted.get(node) === twig) return; // the very same drawing, kept by who drew it
  const element = /** @type {Element} */ (node);
  const before = painted.get(node)?.props ?? {};
  for (const name of Object.keys(before)) if (!(name in twig.props)) set(element, name, null, before[name]);
  for (const [name, value] of Object.entries(twig.props)) set(element, name, value, before[name]);
  painted.set(node, twig);
  // An element of ours paints its own inside.
  if (!twig.tag.includes("-")) paintChildren(node, twig.children);
}

/** @param {Element} element @param {string} name @param {unknown} value @param {unknown} before */
function set(element, name, value, before) {
  if (name === "key") return;
  if (name.startsWith("on")) {
    listen(element, name.slice(2), /** @type {((event: Event) => void) | null} */ (value ?? null));
  } else if (name.startsWith(".")) {
    const holder = /** @type {Record<string, unknown>} */ (/** @type {unknown} */ (element));
    if (holder[name.slice(1)] !== value) holder[name.slice(1)] = value;
  } else if (value === null || value === undefined || value === false) {
    element.removeAttribute(name);
  } else if (value !== before) {
    element.setAttribute(name, value === true ? "" : String(value));
  }
}

/** @param {EventTarget} target @param {string} type @param {((event: Event) => void) | null} listener */
function listen(target, type, listener) {
  let listeners = listening.get(target);
  if (listeners === undefined) listening.set(target, (listeners = new Map()));
  if (listener === null) {
    listeners.delete(type);
    return;
  }
  if (!listeners.has(type)) target.addEventListener(type, heard);
  listeners.set(type, listener);
}

/** @param {Event} event */
function heard(event) {
  const target = /** @type {EventTarget} */ (event.currentTarget);
  listening.get(target)?.get(event.type)?.(event);
}
