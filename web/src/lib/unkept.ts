/** What was changed on this page and has not reached the shop yet: it is gone with the page. */
class Unkept {
  #waiting = 0;

  get any(): boolean {
    return this.#waiting > 0;
  }

  /** Counts a change until the shop has answered for it. */
  until<T>(answered: Promise<T>): Promise<T> {
    this.#waiting += 1;
    return answered.finally(() => (this.#waiting -= 1));
  }
}

export const unkept = new Unkept();
