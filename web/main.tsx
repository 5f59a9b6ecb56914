import './app/browser-language.ts';
import { render } from 'preact';
import { App } from './app/app.tsx';
import { refreshRoute } from './app/route.ts';
import { takeToken } from './net/token.ts';
import { connect } from './state/actions.ts';
import { startPreferences } from './state/preferences.ts';
import './style/tokens.css';
import './style/base.css';
import './style/shell.css';
import './style/chart.css';
import './style/screens.css';

startPreferences();
takeToken();
refreshRoute();
connect();
render(<App />, document.getElementById('app')!);
