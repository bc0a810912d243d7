import { Trouble } from '@/lib/problem';
import type { Form } from '@/lib/wire/Form';

/** What is asked of every new piece. */
export interface Basics {
  name: string;
  species: string;
  form: Form;
  /** In millimetres; `null` until typed. */
  thickness: number | null;
}

/** A value that the form cannot do without. */
export function needed<T>(value: T | null | '', what: string): T {
  if (value === null || value === '') throw new Trouble({ message: `${what} is missing`, hint: 'fill it in above' });
  return value;
}
