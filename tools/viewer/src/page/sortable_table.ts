// A table that sorts by any of its columns, and whose rows can be chosen.
import { element } from './element';

export interface Column<T> {
  name: string;
  cell: (item: T) => Node | string;
  key?: (item: T) => string | number; // to sort by
  numeric?: boolean;
}

export interface Besides<T> {
  chosen?: (index: number) => void;
  below?: (item: T) => Node; // a line of its own under the row
  unprinted?: string; // where the rows are that paper leaves out
}

export interface SortableTable {
  node: HTMLElement;
  mark: (index: number) => void; // the chosen item, -1 = none
}

const firstShown = 60;
const printed = 40; // more are no reading on paper

export function sortableTable<T>(caption: string, items: T[], columns: Column<T>[], { chosen, below, unprinted }: Besides<T> = {}): SortableTable {
  const order = items.map((_, i) => i);
  let sorted = { column: -1, up: true };
  let all = items.length <= firstShown;
  let marked = -1;
  const body = element('tbody');
  const heads = columns.map((column, c) =>
    element('th', { scope: 'col', class: column.numeric ? 'number' : undefined },
      column.key ? element('button', { type: 'button', onclick: () => sort(c) }, column.name, element('span', { class: 'arrow', 'aria-hidden': 'true' })) : column.name));
  const more = element('button', { type: 'button', class: 'more', onclick: () => { all = true; fill(); } }, `Show all ${items.length} rows`);
  const table = element('table', { class: chosen ? 'rows choosable' : 'rows' }, element('caption', {}, caption), element('thead', {}, element('tr', {}, ...heads)), body);
  const node = element('div', { class: 'table-frame', tabindex: 0, role: 'region', 'aria-label': caption }, table, more,
    items.length > printed ? element('p', { class: 'on-paper' }, `${printed} of ${items.length} rows are printed. ${unprinted ?? ''}`) : null);

  const itemOf = (row: HTMLTableRowElement): number => Number(row.dataset['item'] ?? row.dataset['of']);

  function sort(c: number): void {
    sorted = { column: c, up: sorted.column === c ? !sorted.up : true };
    const key = columns[c]!.key!;
    const sign = sorted.up ? 1 : -1;
    order.sort((a, b) => {
      const [x, y] = [key(items[a]!), key(items[b]!)];
      // What has no number goes last either way round.
      if (typeof x === 'number' && typeof y === 'number') {
        if (Number.isNaN(x) || Number.isNaN(y)) return Number(Number.isNaN(x)) - Number(Number.isNaN(y));
        return sign * (x - y);
      }
      return sign * String(x).localeCompare(String(y), 'en', { numeric: true });
    });
    heads.forEach((head, i) => {
      if (i === c) head.setAttribute('aria-sort', sorted.up ? 'ascending' : 'descending');
      else head.removeAttribute('aria-sort');
    });
    fill();
  }

  function fill(): void {
    more.hidden = all;
    body.replaceChildren(
      ...order.slice(0, all ? undefined : firstShown).flatMap((i, place) => {
        const looks = [place >= printed && 'off-paper', i === marked && 'chosen'].filter(Boolean).join(' ');
        const row = element('tr', { 'data-item': i, class: looks });
        columns.forEach((column, c) => {
          const content = column.cell(items[i]!);
          if (c === 0) row.append(element('th', { scope: 'row' }, chosen ? element('button', { type: 'button', class: 'row-choice', onclick: () => chosen(i) }, content) : content));
          else row.append(element('td', { class: column.numeric ? 'number' : undefined }, content));
        });
        return below ? [row, element('tr', { 'data-of': i, class: `below ${looks}` }, element('td', { colspan: columns.length }, below(items[i]!)))] : [row];
      }));
  }
  if (chosen) {
    body.addEventListener('click', (event) => {
      const row = (event.target as Element).closest('tr');
      if (row && !(event.target as Element).closest('button')) chosen(itemOf(row));
    });
    body.addEventListener('focusin', (event) => {
      const row = (event.target as Element).closest('tr');
      if (row && (event.target as Element).matches(':focus-visible')) chosen(itemOf(row));
    });
  }
  fill();
  return {
    node,
    mark: (index) => {
      marked = index;
      for (const row of body.querySelectorAll('tr')) row.classList.toggle('chosen', itemOf(row) === index);
    },
  };
}
