// On paper: a still map instead of the live one, and every folded table that is short enough opened.
import type { MapBlock } from '../map/map_block';
import type { Frame } from './frame';

export function preparePrinting(frame: Frame, block: MapBlock): void {
  const opened = new Set<HTMLDetailsElement>();
  const before = (): void => {
    block.still(true);
    for (const details of document.querySelectorAll('details')) {
      if (details.open || details.matches('.unprinted, .panel *') || details.querySelectorAll('tr').length > 45) continue;
      details.open = true;
      opened.add(details);
    }
  };
  const after = (): void => {
    for (const details of opened) details.open = false;
    opened.clear();
    if (block.map) frame.stillMap.replaceChildren();
    else block.still();
  };
  window.addEventListener('beforeprint', before);
  window.addEventListener('afterprint', after);
}
