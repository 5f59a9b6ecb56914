#include "settings.h"

#include <avr/eeprom.h>
#include <stddef.h>
#include <util/crc16.h>

#include "watch.h"

struct settings settings;

/* Stored image: the settings up to the derived ones, and a CRC behind them. */
#define STORED offsetof(struct settings, fine_enter_counts)
static uint8_t image[STORED + 2];
static uint8_t unsaved_from = sizeof image;

static uint16_t image_crc(void) {
  uint16_t crc = 0xFFFF;
  for (uint8_t i = 0; i < STORED; i++) crc = _crc_xmodem_update(crc, image[i]);
  return crc;
}

static void derive(void) {
#if RANGES == 2
  float counts = INT16_MAX * FINE_ENTER_FRACTION * settings.sensor_mv_per_a[0] / settings.sensor_mv_per_a[1];
  settings.fine_enter_counts = counts < INT16_MAX ? (int16_t)counts : INT16_MAX;
#endif
}

static void defaults(void) {
  settings = (struct settings){
      .sensor_mv_per_a = {DEFAULT_SENSOR_MV_PER_A, DEFAULT_FINE_MV_PER_A},
      .zero = {NOMINAL_ZERO, NOMINAL_ZERO},
      .divider = DEFAULT_DIVIDER,
      .supply_counts = 0,
      .absolute = 0,
      .serial = DEFAULT_SERIAL,
  };
}

uint8_t settings_load(void) {
  eeprom_read_block(image, 0, sizeof image);
  uint8_t blank = 1;
  for (uint8_t i = 0; i < sizeof image; i++) {
    if (image[i] != 0xFF) blank = 0;
  }
  uint16_t crc = image_crc();
  uint8_t sound = image[STORED] == (uint8_t)crc && image[STORED + 1] == (uint8_t)(crc >> 8);
  if (!blank && sound) __builtin_memcpy(&settings, image, STORED);
  else defaults();
  derive();
  return blank || sound;
}

void settings_changed(void) {
  derive();
  __builtin_memcpy(image, &settings, STORED);
  uint16_t crc = image_crc();
  image[STORED] = (uint8_t)crc;
  image[STORED + 1] = (uint8_t)(crc >> 8);
  unsaved_from = 0;
}

void settings_poll(void) {
  if (unsaved_from == sizeof image || supply_dead || !eeprom_is_ready()) return;
  eeprom_update_byte((uint8_t *)(uint16_t)unsaved_from, image[unsaved_from]);
  unsaved_from++;
}
