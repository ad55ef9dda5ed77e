// `npm run reference`: writes out/reference.html, every key of the site file, from its schema.
import { mkdirSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { siteSchema } from "../../dist/site/siteSchema.js";
import { html } from "../../dist/report/markup.js";
import { pageFrame } from "../../dist/report/pageFrame.js";

const root = fileURLToPath(new URL("../../", import.meta.url));

/** What each definition of the schema is called, with a text that is one. */
const QUANTITIES = {
  length: 'a length, "2.5 ft"', area: 'an area, "210 m^2"', speed: 'a speed, "22 mm/h"', flow: 'a flow, "40 gal/min"', time: 'a time, "6 h"',
  volume: 'a volume, "100 gal"', rainfall: 'an object, as below', temperature: 'a temperature, "8 degC"', density: 'a density, "1.6 t/m^3"', areaPerLength: 'an area per length, "50 cm^2/m"',
};

/**
 * The objects of a schema with their keys, from the top down: each `{ path, about, keys: [key, what it takes, what it is, where missing] }`.
 *
 * @param {any} schema
 * @returns {{ path: string, about: string, ways: string[], keys: string[][] }[]}
 */
export function objectsOf(schema, path = "") {
  const found = [];
  const below = [];
  if (schema.properties !== undefined) {
    const required = new Set(schema.required ?? []);
    found.push({
      path, about: schema.description ?? "", ways: waysOf(schema),
      keys: Object.entries(schema.properties).map(([key, field]) => [
        key, takes(field), field.description ?? [...(field.anyOf ?? []), ...(field.oneOf ?? [])].find(({ description }) => description !== undefined)?.description ?? "",
        "default" in field ? JSON.stringify(field.default) : required.has(key) ? "must be given" : "may be missing",
      ]),
    });
    for (const [key, field] of Object.entries(schema.properties)) below.push([field, path === "" ? key : `${path}.${key}`]);
  }
  if (schema.items !== undefined) below.push([schema.items, `${path}[]`]);
  for (const each of [...(schema.oneOf ?? []), ...(schema.anyOf ?? [])]) if (takesObject(each)) below.push([each, path]);
  return [...found, ...below.flatMap(([each, place]) => objectsOf(each, place))];
}

/** @param {any} schema */
function takesObject(schema) {
  return schema.properties !== undefined || schema.items !== undefined || [...(schema.oneOf ?? []), ...(schema.anyOf ?? [])].some(takesObject);
}

/**
 * Keys of which one group has to stand.
 * @param {any} schema
 */
function waysOf(schema) {
  return (schema.oneOf ?? []).flatMap(({ required = [] }) => (required.length === 0 ? [] : [required.join(" and ")]));
}

/** @param {any} field @returns {string} */
function takes(field) {
  if (field.properties !== undefined) return "an object";
  const name = /^#\/definitions\/(\w+)$/.exec(field.$ref ?? field.allOf?.[0]?.$ref ?? "")?.[1];
  if (name !== undefined) return QUANTITIES[name] ?? name;
  if (field.allOf?.length === 1) return takes(field.allOf[0]);
  if (field.enum !== undefined) return field.enum.map((word) => JSON.stringify(word)).join(", ");
  if (field.const !== undefined) return JSON.stringify(field.const);
  if (field.properties !== undefined) return "an object";
  if (Array.isArray(field.type)) return field.type.map((/** @type {string} */ type) => takes({ ...field, type })).join("; or ");
  if (field.type === "array") return field.items?.properties === undefined && field.items !== undefined ? `a list, each ${takes(field.items)}` : "a list of objects";
  const ways = [...(field.oneOf ?? []), ...(field.anyOf ?? [])].map(takes);
  if (ways.length > 0) return [...new Set(ways)].join("; or ");
  return { string: "text", number: "a number", integer: "a whole number", boolean: "true or false", object: "an object" }[field.type] ?? (field.pattern !== undefined ? "text" : field.items !== undefined ? `a list, each ${takes(field.items)}` : "anything");
}

/** @param {object} schema  of `siteSchema` */
export function referencePage(schema) {
  const objects = [...objectsOf(schema), ...objectsOf(/** @type {any} */ (schema).definitions.rainfall, "rainfall")];
  return pageFrame({
    title: "The site file, key by key",
    header: html`<h1>The site file, key by key</h1><p>Made from the schema that editors complete from, and from the very fields that read the file.
Every quantity is text with its unit. A name with [] is each of a list.</p>`,
    main: html`${objects.map(({ path, about, ways, keys }) => html`<section><h2 id="${path}">${path === "" ? "The file" : path}</h2><p>${about}</p>
${ways.length < 2 ? null : html`<p>One of: ${ways.join("; ")}.</p>`}
<div class="scroll" tabindex="0"><table class="words"><thead><tr><th scope="col">key</th><th scope="col">takes</th><th scope="col">what it is</th><th scope="col">where it is missing</th></tr></thead>
<tbody>${keys.map(([key, kind, what, missing]) => html`<tr><th scope="row">${key}</th><td style="white-space: normal">${kind}</td><td style="white-space: normal; min-width: 18em">${what}</td><td>${missing}</td></tr>`)}</tbody></table></div></section>`)}`,
  });
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  mkdirSync(`${root}out`, { recursive: true });
  writeFileSync(`${root}out/reference.html`, referencePage(siteSchema()));
  console.log("out/reference.html");
}
