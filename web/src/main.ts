import { mount } from 'svelte';
import '@/styles/tokens.css';
import '@/styles/base.css';
import '@/styles/fonts.css';
import '@/styles/drawing.css';
import Page from '@/routes/Page.svelte';

mount(Page, { target: document.getElementById('page')! });
