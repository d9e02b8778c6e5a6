// Elements without markup strings: nothing of the document is ever read as HTML.

type Child = Node | string | null | undefined | false;
type Attributes = Record<string, string | number | boolean | ((event: Event) => void) | undefined>;

function fill(node: Element, attributes: Attributes, children: Child[]): void {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === undefined || value === false) continue;
    if (typeof value === 'function') node.addEventListener(name.replace(/^on/, ''), value);
    else node.setAttribute(name, value === true ? '' : String(value));
  }
  for (const child of children) if (child) node.append(child);
}

export function element<K extends keyof HTMLElementTagNameMap>(
  tag: K, attributes: Attributes = {}, ...children: Child[]
): HTMLElementTagNameMap[K] {
  const node = document.createElement(tag);
  fill(node, attributes, children);
  return node;
}

export function drawing(tag: string, attributes: Attributes = {}, ...children: Child[]): SVGElement {
  const node = document.createElementNS('http://www.w3.org/2000/svg', tag);
  fill(node, attributes, children);
  return node;
}

/** One of several choices: a fieldset of radio buttons that looks like one switch. */
export function choiceSwitch<T extends string>(
  legend: string, options: { value: T; label: string }[], now: T, chosen: (value: T) => void,
): HTMLFieldSetElement {
  const group = `choice-${legend.toLowerCase().replace(/\W+/g, '-')}`;
  return element('fieldset', { class: 'choice' },
    element('legend', {}, legend),
    element('div', { class: 'choice-row' },
      ...options.map(({ value, label }) =>
        element('label', {},
          element('input', { type: 'radio', name: group, value, checked: value === now, onchange: () => chosen(value) }),
          element('span', {}, label)))));
}
