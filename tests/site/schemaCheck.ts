/** The part of JSON Schema (draft 7) that the site file's schema uses. */
interface Schema {
  readonly $ref?: string;
  readonly type?: string;
  readonly properties?: Readonly<Record<string, Schema>>;
  readonly required?: readonly string[];
  readonly additionalProperties?: false | Schema;
  readonly items?: Schema;
  readonly minItems?: number;
  readonly enum?: readonly unknown[];
  readonly pattern?: string;
  readonly minimum?: number;
  readonly maximum?: number;
  readonly allOf?: readonly Schema[];
  readonly anyOf?: readonly Schema[];
  readonly oneOf?: readonly Schema[];
  readonly not?: Schema;
  readonly definitions?: Readonly<Record<string, Schema>>;
}

const understood = new Set([
  "$schema", "$ref", "title", "description", "default", "type", "properties", "required", "additionalProperties", "items", "minItems", "enum",
  "pattern", "minimum", "maximum", "allOf", "anyOf", "oneOf", "not", "definitions",
]);

/** Whether a value is valid by a schema. A keyword that is not understood is an error, for it would pass unchecked. */
export function isValid(value: unknown, schema: object): boolean {
  return valid(value, schema, schema);
}

function valid(value: unknown, schema: Schema, root: Schema): boolean {
  for (const keyword of Object.keys(schema)) if (!understood.has(keyword)) throw new Error(`the keyword ${keyword} is not understood`);
  const by = (other: Schema): boolean => valid(value, other, root);
  return (
    (schema.$ref === undefined || by(root.definitions![schema.$ref.replace("#/definitions/", "")]!)) &&
    (schema.type === undefined || hasType(value, schema.type)) &&
    (schema.enum === undefined || schema.enum.includes(value)) &&
    (schema.allOf ?? []).every(by) &&
    (schema.anyOf === undefined || schema.anyOf.some(by)) &&
    (schema.oneOf === undefined || schema.oneOf.filter(by).length === 1) &&
    (schema.not === undefined || !by(schema.not)) &&
    (typeof value !== "string" || schema.pattern === undefined || new RegExp(schema.pattern, "u").test(value)) &&
    (typeof value !== "number" || (value >= (schema.minimum ?? -Infinity) && value <= (schema.maximum ?? Infinity))) &&
    (!Array.isArray(value) || listValid(value, schema, root)) &&
    (!isObject(value) || objectValid(value, schema, root))
  );
}

function hasType(value: unknown, type: string): boolean {
  if (type === "array") return Array.isArray(value);
  if (type === "object") return isObject(value);
  if (type === "integer") return Number.isInteger(value);
  return typeof value === type;
}

function isObject(value: unknown): value is Record<string, unknown> {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

function listValid(value: readonly unknown[], { items, minItems = 0 }: Schema, root: Schema): boolean {
  return value.length >= minItems && value.every((item) => items === undefined || valid(item, items, root));
}

function objectValid(value: Record<string, unknown>, schema: Schema, root: Schema): boolean {
  const { properties = {}, required = [] } = schema;
  const { additionalProperties: others } = schema;
  return required.every((key) => Object.hasOwn(value, key)) && Object.entries(value).every(([key, inner]) => (
    Object.hasOwn(properties, key) ? valid(inner, properties[key]!, root)
      : others !== false && (others === undefined || valid(inner, others, root))));
}
