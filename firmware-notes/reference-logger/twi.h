/*
 * I2C dialogues with 16-bit register chips, 400 kHz, driven by interrupts: a list of register
 * reads and writes to one address, carried out in one go and then reported.
 */
#ifndef TWI_H
#define TWI_H

#include <stdint.h>

struct transfer {
  uint8_t reg;
  uint8_t write;
  uint16_t value; /* to write, or as read */
};

void twi_init(void);
/* The list must stay in place until the dialogue ends. */
void twi_begin(uint8_t address, struct transfer *transfers, uint8_t count);
uint8_t twi_busy(void);
/* Gives up a dialogue that hangs and frees a data line that a chip holds down. */
void twi_recover(void);

/* Called in the interrupt at the end of a dialogue; answered 0: the chip did not acknowledge. */
void twi_done(uint8_t answered);

#endif
