// A table that sorts by any of its columns, and whose rows can be chosen.
import { element } from './element';

export interface Column<T> {
  name: string;
  cell: (item: T) => Node | string;
  key?: (item: T) => string | number; // to sort by
  numeric?: boolean;
}

export interface SortableTable {
  node: HTMLElement;
  mark: (index: number) => void; // the chosen item, -1 = none
}

const firstShown = 60;

export function sortableTable<T>(caption: string, items: T[], columns: Column<T>[], chosen?: (index: number) => void): SortableTable {
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
  const node = element('div', { class: 'table-frame', tabindex: 0, role: 'region', 'aria-label': caption }, table, more);

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
      ...order.slice(0, all ? undefined : firstShown).map((i) => {
        const row = element('tr', { 'data-item': i, class: i === marked ? 'chosen' : undefined });
        columns.forEach((column, c) => {
          const content = column.cell(items[i]!);
          if (c === 0) row.append(element('th', { scope: 'row' }, chosen ? element('button', { type: 'button', class: 'row-choice', onclick: () => chosen(i) }, content) : content));
          else row.append(element('td', { class: column.numeric ? 'number' : undefined }, content));
        });
        return row;
      }));
  }
  if (chosen) {
    body.addEventListener('click', (event) => {
      const row = (event.target as Element).closest('tr');
      if (row && !(event.target as Element).closest('button')) chosen(Number(row.dataset['item']));
    });
    body.addEventListener('focusin', (event) => {
      const row = (event.target as Element).closest('tr');
      if (row && (event.target as Element).matches(':focus-visible')) chosen(Number(row.dataset['item']));
    });
  }
  fill();
  return {
    node,
    mark: (index) => {
      marked = index;
      for (const row of body.querySelectorAll('tr')) row.classList.toggle('chosen', Number(row.dataset['item']) === index);
    },
  };
}
