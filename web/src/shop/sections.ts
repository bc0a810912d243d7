/** A part of the shop's own place: its address and its word. */
export interface SectionName {
  key: string;
  word: string;
}

export const sections = [
  { key: 'name', word: 'Name and units' },
  { key: 'machines', word: 'Machines' },
  { key: 'clamps', word: 'Clamps and glue' },
  { key: 'people', word: 'People and hours' },
  { key: 'allowances', word: 'Allowances' },
  { key: 'prices', word: 'Prices' },
  { key: 'air', word: 'Air and moisture' },
  { key: 'photographs', word: 'Photographs' },
  { key: 'woods', word: 'Kinds of wood' },
  { key: 'finishes', word: 'Finishes' },
  { key: 'glues', word: 'Glues' },
] as const satisfies SectionName[];

export type SectionKey = (typeof sections)[number]['key'];
