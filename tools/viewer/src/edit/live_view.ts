export async function liveView(..._all: unknown[]): Promise<void> {}
