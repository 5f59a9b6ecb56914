#include "uart.h"

#include <avr/interrupt.h>
#include <avr/io.h>

#include "board.h"

static volatile uint8_t hello_asked;
static volatile uint8_t ready;
static char command[COMMAND_LENGTH + 1];
static uint8_t length;
static uint8_t spoiled; /* too long, damaged, or came while another waited: dropped to its end */

void uart_init(void) {
  UCSR0A = _BV(U2X0);
  UBRR0 = speed.ubrr;
  UCSR0C = _BV(UCSZ01) | _BV(UCSZ00);
  UCSR0B = _BV(RXEN0) | _BV(TXEN0) | _BV(RXCIE0);
}

void uart_put(char c) {
  while (!(UCSR0A & _BV(UDRE0))) {
  }
  UDR0 = (uint8_t)c;
}

ISR(USART_RX_vect) {
  uint8_t damaged = UCSR0A & (_BV(FE0) | _BV(DOR0));
  char c = (char)UDR0;
  if (c == '?' && !damaged) {
    hello_asked = 1;
    return;
  }
  if (damaged || ready) {
    spoiled = 1;
  } else if (c != '\n' && c != '\r') {
    if (length < COMMAND_LENGTH) command[length++] = c;
    else spoiled = 1;
    return;
  }
  if (c != '\n' && c != '\r') return;
  if (!spoiled && length > 0) {
    command[length] = 0;
    ready = 1;
  }
  length = 0;
  spoiled = 0;
}

uint8_t uart_hello_asked(void) {
  if (!hello_asked) return 0;
  hello_asked = 0;
  return 1;
}

const char *uart_command(void) { return ready ? command : 0; }

void uart_command_release(void) { ready = 0; }
