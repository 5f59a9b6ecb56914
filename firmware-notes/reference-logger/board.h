/* ATmega328P at 16 MHz: pins, and the three line speeds with the sample rates they carry honestly. */
#ifndef BOARD_H
#define BOARD_H

#include <avr/io.h>
#include <stdint.h>

/* Port D: 0, 1 serial. 2 mark button to ground. 4, 5 speed jumpers to ground. 6 opens the bypass. */
#define BUTTON_PRESSED() (!(PIND & _BV(PD2)))
#define JUMPER_500K() (!(PIND & _BV(PD4)))
#define JUMPER_115K2() (!(PIND & _BV(PD5)))
/* The bypass is held closed by the battery and by the 5 V; only a high D6 opens it. A pin that is an input
   (reset, boot loader, no power) therefore leaves it closed (../build-guide.md). */
#define BYPASS_OPEN() (PORTD |= _BV(PD6))
#define BYPASS_CLOSE() (PORTD &= ~_BV(PD6))
/* Port B 5: lamp, lit while samples flow. Port C: 0 current, 1 voltage, 4 SDA, 5 SCL. */
#define LAMP_ON() (PORTB |= _BV(PB5))
#define LAMP_OFF() (PORTB &= ~_BV(PB5))

/* Chosen once, at start, from the jumpers. */
struct speed {
  uint8_t ubrr;       /* with U2X: baud = F_CPU / 8 / (ubrr + 1) */
  uint16_t rate_hz;   /* samples a second: at most about half of what the line can carry */
  uint16_t period_us; /* 1e6 / rate_hz, exact */
  uint8_t conversion; /* the monitor's conversion time code; not used by the ADC */
  uint8_t supply_every; /* ticks between two readings of the 1.1 V reference: 16 ms */
};
extern struct speed speed;
void board_init(void);

#endif
