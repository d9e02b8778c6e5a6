/** Boxes already written on, so that names do not lie on each other. */
export class Free {
  private readonly taken: [number, number, number, number][] = [];
  take(x: number, y: number, w: number, h: number): boolean {
    const box: [number, number, number, number] = [x - w / 2, y - h / 2, x + w / 2, y + h / 2];
    if (this.taken.some((t) => box[0] < t[2] && box[2] > t[0] && box[1] < t[3] && box[3] > t[1])) return false;
    this.taken.push(box);
    return true;
  }
}
