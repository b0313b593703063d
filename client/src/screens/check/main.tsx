/** The page that checks bags, in one file: `client/check.ts` puts it together. */
import { render } from 'preact'
import { Check } from './index'
import './check.css'

const isDark = matchMedia('(prefers-color-scheme: dark)')
const follow = () => (document.documentElement.dataset['theme'] = isDark.matches ? 'night' : 'indoors')
isDark.addEventListener('change', follow)
follow()

render(<Check />, document.getElementById('app') as HTMLElement)
