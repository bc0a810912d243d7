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
  { key: 'wood', word: 'Air and allowances' },
  { key: 'prices', word: 'Prices' },
  { key: 'woods', word: 'Kinds of wood' },
] as const satisfies SectionName[];

export type SectionKey = (typeof sections)[number]['key'];
