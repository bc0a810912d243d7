import { expect } from '@playwright/test';
import { test, visit } from './shop';

test('air, a meter and the nearest town tell what wood comes to, as they are typed', async ({ page }) => {
  await visit(page, 'shop/air');
  const today = page.getByRole('region', { name: 'The shop today' });
  await today.getByLabel('On the thermometer').fill('70');
  await today.getByLabel('On the hygrometer').fill('50');
  await expect(today.getByRole('status')).toContainText('9.2 %');
  await today.getByLabel('On the hygrometer').fill('130');
  await expect(today.getByRole('alert')).toContainText('outside of 0 to 95 %');

  const meter = page.getByRole('region', { name: 'What a meter means' });
  await meter.getByLabel('It shows').fill('9');
  await meter.getByLabel('The wood has').fill('60');
  await meter.getByLabel('The meter is set for').fill('70');
  await expect(meter.getByRole('status')).toContainText('9.5 %');
  await meter.getByLabel('For this species add').fill('-1');
  await expect(meter.getByRole('status')).toContainText('8.5 %');

  const outdoors = page.getByRole('region', { name: 'A shop that is not heated' });
  await outdoors.getByLabel('Nearest town').selectOption('Phoenix, AZ');
  await expect(outdoors.getByRole('listitem').filter({ hasText: 'June' })).toContainText('4.4 %');
  await expect(outdoors.getByRole('listitem')).toHaveCount(12);
});
