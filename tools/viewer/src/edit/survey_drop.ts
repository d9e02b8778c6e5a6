// A survey dropped anywhere on the page.
export function dropFiles(taken: (file: File) => void): void {
  document.addEventListener('dragover', (event) => {
    if (event.dataTransfer?.types.includes('Files')) event.preventDefault();
  });
  document.addEventListener('drop', (event) => {
    const files = [...(event.dataTransfer?.files ?? [])];
    if (files.length === 0) return;
    event.preventDefault();
    files.forEach(taken);
  });
}
