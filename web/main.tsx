import './app/browser-language.ts';
import { render } from 'preact';
import { App } from './app/app.tsx';
import { refreshRoute } from './app/route.ts';
import { takeToken } from './net/token.ts';
import { connect } from './state/actions.ts';
import { startPreferences } from './state/preferences.ts';
import { startStayAwake } from './test/night/stay-awake.ts';
import './style/tokens.css';
import './style/base.css';
import './style/shell.css';
import './style/chart.css';
import './style/screens.css';

startPreferences();
startStayAwake();
takeToken();
refreshRoute();
connect();
render(<App />, document.getElementById('app')!);
// the shell for when the program is not running; a browser that does not take it (an address that is not encrypted) works without
if (import.meta.env.PROD && 'serviceWorker' in navigator) navigator.serviceWorker.register('/offline.js').catch(() => undefined);
