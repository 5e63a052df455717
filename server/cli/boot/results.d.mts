export type Results = { passed: number; failed: number; failures: Array<{ title: string; message: string }> }
export function vitestResults(file: string, exitCode: number): Results
export function playwrightResults(file: string, exitCode: number): Results
export function crashed(runner: string, message?: string): Results
