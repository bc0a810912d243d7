import { faceId } from '@/jobs/scene';
import type { CutFigures } from '@/lib/wire/CutFigures';
import type { CutSheet } from '@/lib/wire/CutSheet';
import type { FaceKey } from '@/lib/wire/FaceKey';
import type { Operation } from '@/lib/wire/Operation';

/** The cuts that are sawn in one operation. */
export interface CutGroup {
  operation: number;
  title: string;
  /** The face's key. */
  face: string;
  cuts: { number: number; figures: CutFigures }[];
}

/** The face that an operation saws on: the wood or the panel that it begins with. */
export function faceOf({ inputs }: Operation): FaceKey | null {
  const wood = inputs.find((it) => it.is === 'piece' || it.is === 'panel');
  return wood?.is === 'piece' || wood?.is === 'panel' ? { of: wood.is, id: wood.of } : null;
}

/** The sheet that an operation's cuts are on, or its lines by hand. */
export function sheetOf(operation: Operation, sheets: readonly CutSheet[]): CutSheet | undefined {
  const face = faceOf(operation);
  const saws = operation.cuts.length + operation.lines.length > 0;
  return face && saws ? sheets.find((it) => faceId(it.plan.face) === faceId(face)) : undefined;
}

/** All cuts by their operations, in the order of the work. */
export function cutGroups(operations: readonly Operation[], sheets: readonly CutSheet[]): CutGroup[] {
  return operations.flatMap((operation) => {
    const sheet = sheetOf(operation, sheets);
    if (!sheet || !operation.cuts.length) return [];
    const cuts = operation.cuts.flatMap((number) => {
      const figures = sheet.cuts[number - 1];
      return figures ? [{ number, figures }] : [];
    });
    return [{ operation: operation.id, title: operation.title, face: faceId(sheet.plan.face), cuts }];
  });
}
