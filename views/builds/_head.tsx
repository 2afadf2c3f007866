import type { ComponentChildren } from 'preact'
import type { BuildHead } from '../../src/features/builds/queries/build-page.ts'
import { Breadcrumb, Layout } from '../shared/index.ts'

/** A page about one build: the way up leads through her. */
export function BuildLayout({ build, title, children, more = [], wide = false, live }: { build: BuildHead; title: string; children: ComponentChildren; more?: readonly { href: string; text: string }[]; wide?: boolean; live?: readonly string[] }) {
  return (
    <Layout title={title} wide={wide} live={live} above={<Breadcrumb items={[{ href: '/builds', text: 'Builds' }, { href: `/builds/${build.id}`, text: build.name }, ...more]} />}>
      {children}
    </Layout>
  )
}
