import { render } from 'preact';
import { WIRE_PROTOCOL } from '../src/core/wire/messages.ts';

render(<p>{WIRE_PROTOCOL}</p>, document.getElementById('app')!);
