// Light, dark or for sunlight: the system's wish unless the reader chose.
import type { Shown, Theme } from '../shown';

const dark = window.matchMedia('(prefers-color-scheme: dark)');

export type Lit = Exclude<Theme, 'auto'>;

export function litAs(theme: Theme): Lit {
  return theme !== 'auto' ? theme : dark.matches ? 'dark' : 'light';
}

export function followTheme(shown: Shown, changed: (lit: Lit) => void): void {
  const apply = (): void => {
    const lit = litAs(shown.get('theme'));
    document.documentElement.dataset['theme'] = lit;
    changed(lit);
  };
  shown.on('theme', apply);
  dark.addEventListener('change', apply);
  apply();
}
