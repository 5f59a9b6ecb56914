/* Serial port: polled transmit, interrupt-driven receive of short command lines. */
#ifndef UART_H
#define UART_H

#include <stdint.h>

#define COMMAND_LENGTH 24

void uart_init(void);
void uart_put(char c);

/* Has a '?' come since the last call? It needs no line end. */
uint8_t uart_hello_asked(void);
/* A whole command line, without its end; 0 when there is none. Release it to receive the next. */
const char *uart_command(void);
void uart_command_release(void);

#endif
