/* Two watches both variants share, each with one notice at the edge and then a rest. */
#ifndef WATCH_H
#define WATCH_H

#include <stdint.h>

/* From interrupts, for every sample: was the current beyond what the range can show? */
void watch_range(uint8_t beyond, uint32_t t_us);

/* Every SUPPLY_EVERY ticks the variant reads the 1.1 V reference against the supply. */
#define SUPPLY_EVERY 64
#define SUPPLY_INPUT (_BV(REFS0) | 14) /* reference: supply; input: 1.1 V (datasheet, MUX table) */
void watch_supply(uint16_t reading, uint32_t t_us);

#endif
