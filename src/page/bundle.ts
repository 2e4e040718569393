import { fileURLToPath } from 'node:url';
import { build, stop } from 'esbuild';

export interface Bundle {
  readonly script: string;
  readonly style: string;
}

/** Builds the page's script and style in memory. Throws when they do not build. */
export async function bundlePage(): Promise<Bundle> {
  const at = (name: string) => fileURLToPath(new URL(`client/${name}`, import.meta.url));
  const result = await build({
    entryPoints: [at('main.tsx'), at('page.css')],
    outdir: 'page',
    bundle: true,
    write: false,
    minify: true,
    format: 'iife',
    target: ['es2022'],
    jsx: 'automatic',
    jsxImportSource: 'preact',
    logLevel: 'silent',
  });
  // Its helper process is needed no more.
  await stop();
  const text = (ending: string) => {
    const file = result.outputFiles.find(({ path }) => path.endsWith(ending));
    if (!file) throw new Error(`the page has no ${ending}`);
    return file.text.trim();
  };
  return { script: text('.js'), style: text('.css') };
}
