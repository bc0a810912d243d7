/** Where the reader is: the parts of the address behind `#/`. */
class Route {
  parts = $state.raw<string[]>(partsOf(location.hash));

  constructor() {
    addEventListener('hashchange', () => (this.parts = partsOf(location.hash)));
  }

  get place(): string {
    return this.parts[0] ?? 'rack';
  }

  /** The number behind the place, if it is one. */
  get id(): number | null {
    const part = this.parts[1];
    return part && /^\d+$/.test(part) ? Number(part) : null;
  }
}

function partsOf(hash: string): string[] {
  return hash.replace(/^#\/?/, '').split('/').filter(Boolean);
}

export const route = new Route();

/** Goes to a place: `go('rack', 3)`. */
export function go(...parts: (string | number)[]): void {
  location.hash = `#/${parts.join('/')}`;
}
