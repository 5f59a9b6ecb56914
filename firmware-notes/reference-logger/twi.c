#include "twi.h"

#include <avr/interrupt.h>
#include <avr/io.h>
#include <util/delay.h>
#include <util/twi.h>

static struct transfer *transfer;
static uint8_t remaining;
static uint8_t address; /* shifted, direction bit clear */
static uint8_t position; /* of the byte within the transfer; reading is set after the register number */
static uint8_t reading;
static volatile uint8_t busy;

#define GO(bits) (TWCR = _BV(TWINT) | _BV(TWEN) | _BV(TWIE) | (bits))

void twi_init(void) {
  TWBR = 12; /* 16 MHz / (16 + 2 x 12) = 400 kHz (datasheet, bit rate generator) */
  TWSR = 0;
  TWCR = _BV(TWEN);
}

void twi_begin(uint8_t chip, struct transfer *transfers, uint8_t count) {
  transfer = transfers;
  remaining = count;
  address = (uint8_t)(chip << 1);
  position = 0;
  reading = 0;
  busy = 1;
  GO(_BV(TWSTA));
}

uint8_t twi_busy(void) { return busy; }

void twi_recover(void) {
  /* A chip that lost count in the middle of a byte lets go after at most nine clocks (UM10204, 3.1.16). */
  TWCR = 0;
  busy = 0;
  PORTC &= ~_BV(PC5);
  for (uint8_t pulse = 0; pulse < 9; pulse++) {
    DDRC |= _BV(PC5);
    _delay_us(3);
    DDRC &= ~_BV(PC5);
    _delay_us(3);
  }
  twi_init();
}

static void end(uint8_t answered) {
  TWCR = _BV(TWINT) | _BV(TWEN) | _BV(TWSTO); /* a stop ends without an interrupt */
  busy = 0;
  twi_done(answered);
}

static void next_transfer(void) {
  position = 0;
  reading = 0;
  transfer++;
  if (--remaining == 0) end(1);
  else GO(_BV(TWSTA));
}

ISR(TWI_vect) {
  switch (TW_STATUS) {
    case TW_START:
    case TW_REP_START:
      TWDR = address | reading;
      GO(0);
      return;
    case TW_MT_SLA_ACK:
      TWDR = transfer->reg;
      GO(0);
      return;
    case TW_MT_DATA_ACK:
      if (!transfer->write) {
        reading = 1;
        GO(_BV(TWSTA));
      } else if (position == 2) {
        next_transfer();
      } else {
        TWDR = (uint8_t)(position == 0 ? transfer->value >> 8 : transfer->value);
        position++;
        GO(0);
      }
      return;
    case TW_MR_SLA_ACK:
      GO(_BV(TWEA));
      return;
    case TW_MR_DATA_ACK:
      transfer->value = (uint16_t)TWDR << 8;
      GO(0);
      return;
    case TW_MR_DATA_NACK:
      transfer->value |= TWDR;
      next_transfer();
      return;
    default:
      end(0);
  }
}
