/* Two watches both variants share: of the current's range and of the 5 V. */
#ifndef WATCH_H
#define WATCH_H

#include <stdint.h>

/* From interrupts, for every sample: was the current beyond what the range can show? One notice, then a rest. */
void watch_range(uint8_t beyond, uint32_t t_us);

/* Every speed.supply_every ticks the variant reads the 1.1 V reference against the supply. */
#define SUPPLY_INPUT (_BV(REFS0) | 14) /* reference: supply; input: 1.1 V (datasheet, MUX table) */
/* From interrupts: the reading, counts. */
void supply_read(uint16_t reading);
/* Main loop: what the newest reading means. */
void supply_poll(void);

/* The supply as a share of 5.000 V, 1 = 16384; 1 until it is known. */
#define RATIO_BITS 14
extern volatile uint16_t supply_ratio;
/* Too low for the chip's clock and the sensor: no samples, no EEPROM, bypass closed. */
extern volatile uint8_t supply_dead;

/* Mean of the latest readings of the reference in 1/16 count; 0: not known yet. */
uint16_t supply_reference(void);

#endif
