#include "hello.h"

#include <avr/pgmspace.h>

#include "board.h"
#include "config.h"
#include "line.h"
#include "sensor.h"
#include "settings.h"

static void channel(const char *name_and_unit_P, float scale, float zero, int16_t lowest, int16_t highest) {
  line_text_P(PSTR("{\"name\":"));
  line_text_P(name_and_unit_P);
  line_text_P(PSTR(",\"scale\":"));
  line_decimal(scale, 9);
  line_text_P(PSTR(",\"zero\":"));
  line_decimal(zero, 2);
  line_text_P(PSTR(",\"range\":["));
  line_decimal((lowest - zero) * scale, 3);
  line_put(',');
  line_decimal((highest - zero) * scale, 3);
  line_text_P(PSTR("]}"));
}

void hello_send(uint8_t range) {
  line_begin('#');
  line_text_P(PSTR("{\"protocol\":1,\"logger\":\"" LOGGER_NAME "\",\"serial\":\""));
  line_text(settings.serial);
  line_text_P(PSTR("\",\"firmware\":\"" FIRMWARE_VERSION "\",\"rate_hz\":"));
  line_unsigned(speed.rate_hz);
  line_text_P(PSTR(",\"channels\":["));
  channel(PSTR("\"current\",\"unit\":\"A\""), sensor_current_scale(range), settings.zero[range], sensor_lowest(),
          sensor_highest());
  line_put(',');
  channel(PSTR("\"voltage\",\"unit\":\"V\""), sensor_voltage_scale(), 0, 0, sensor_voltage_highest());
  line_text_P(PSTR("]}"));
  line_end();
}
