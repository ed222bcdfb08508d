// @ts-check
/** The fields of a form, each with its label, and what a sent form says. */

import { h } from "../lib/view.js";

/** @typedef {Record<string, string>} Words by value */

/** @param {string} label @param {Record<string, unknown>} props */
export function field(label, props) {
  return h("label", null, label, h("input", { autocomplete: "off", ...props }));
}

/** @param {string} label @param {Record<string, unknown>} props @param {Words | [string, string][]} options @param {string | null} [chosen] */
export function select(label, props, options, chosen = null) {
  const pairs = Array.isArray(options) ? options : Object.entries(options);
  return h(
    "label",
    null,
    label,
    h("select", props, ...pairs.map(([value, words]) => h("option", { key: value, value, selected: value === chosen }, words))),
  );
}

/**
 * Several to tick, or one of several.
 * @param {string} legend
 * @param {string} name
 * @param {"checkbox" | "radio"} type
 * @param {Words | [string, string][]} options
 * @param {readonly string[]} chosen
 */
export function several(legend, name, type, options, chosen) {
  const pairs = Array.isArray(options) ? options : Object.entries(options);
  return h(
    "fieldset",
    { class: "several" },
    h("legend", null, legend),
    ...pairs.map(([value, words]) => h("label", { key: value }, h("input", { type, name, value, checked: chosen.includes(value) }), h("span", null, words))),
  );
}

/**
 * A form that is sent by Enter or its button.
 * @param {Record<string, unknown>} props
 * @param {(said: FormData, form: HTMLFormElement) => void} sent
 * @param {...unknown} children
 */
export function form(props, sent, ...children) {
  const onsubmit = (/** @type {SubmitEvent} */ event) => {
    event.preventDefault();
    const of = /** @type {HTMLFormElement} */ (event.currentTarget);
    sent(new FormData(of), of);
  };
  return h("form", { novalidate: true, ...props, onsubmit }, ...children);
}

/** @param {FormData} said @param {string} name */
export function text(said, name) {
  return String(said.get(name) ?? "").trim();
}

/** Text, or null where nothing was typed. @param {FormData} said @param {string} name */
export function textOrNull(said, name) {
  return text(said, name) || null;
}
